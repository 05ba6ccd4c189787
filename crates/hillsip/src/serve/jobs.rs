//! Long works, done behind: each tells how far it is, can be stopped, and keeps its answer until it is fetched.

use std::any::Any;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;
use tokio::sync::broadcast;

use super::guard::OUR_FAULT;
use super::news::News;
use super::trouble::Trouble;

/// Works whose answers are kept; older ones are forgotten.
const KEPT: usize = 20;
/// News of how far a work is come at most so many times.
const TOLD_TIMES: usize = 50;

/// How a work stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum JobState {
    /// At work.
    Running,
    /// Its answer is there.
    Done,
    /// It could not be done.
    Failed,
    /// It was stopped.
    Cancelled,
}

/// A work as it is shown.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct JobView {
    /// Its number.
    pub id: u64,
    /// What it is: `rain-range`, `rain-steps` …
    pub kind: String,
    /// The revision of the site that it is about.
    pub revision: u64,
    /// How it stands.
    pub state: JobState,
    /// How much of it is done.
    pub done_frac: f64,
    /// Why it could not be done.
    pub says: Option<String>,
    /// Its answer, as the address that began it tells.
    pub answer: Option<Value>,
}

/// How a work ended: its state, why it failed, its answer.
type Ended = (JobState, Option<String>, Option<Value>);

struct Job {
    id: u64,
    kind: &'static str,
    revision: u64,
    parts: usize,
    done: AtomicUsize,
    stops: AtomicBool,
    ended: Mutex<Option<Ended>>,
    news: broadcast::Sender<News>,
}

/// A work's own handle.
pub struct Progress(Arc<Job>);

/// What unwinds a work that was stopped.
struct Stopped;

impl Progress {
    /// One part more is done. Ends the work here if it was stopped.
    pub fn step(&self) {
        let job = &self.0;
        if job.stops.load(Ordering::Relaxed) {
            // Unwinds without the words of a panic: the pool carries it to the one that began the work.
            resume_unwind(Box::new(Stopped));
        }
        let done = job.done.fetch_add(1, Ordering::Relaxed) + 1;
        if done.is_multiple_of(job.parts.div_ceil(TOLD_TIMES)) {
            job.tell();
        }
    }
}

impl Job {
    fn done_frac(&self) -> f64 {
        (self.done.load(Ordering::Relaxed) as f64 / self.parts.max(1) as f64).min(1.0)
    }

    fn view(&self) -> JobView {
        let ended = self.ended.lock().unwrap_or_else(PoisonError::into_inner);
        let (state, says, answer) = ended.clone().unwrap_or((JobState::Running, None, None));
        let done_frac = if state == JobState::Done { 1.0 } else { self.done_frac() };
        JobView {
            id: self.id,
            kind: self.kind.to_owned(),
            revision: self.revision,
            state,
            done_frac,
            says,
            answer,
        }
    }

    fn tell(&self) {
        let JobView { id, done_frac, state, says, .. } = self.view();
        let _ = self.news.send(News::Job { id, done_frac, state, says });
    }

    fn end(&self, came_of_it: Result<Result<Value, Trouble>, Box<dyn Any + Send>>) {
        let ended = match came_of_it {
            Ok(Ok(answer)) => (JobState::Done, None, Some(answer)),
            Ok(Err(trouble)) => (JobState::Failed, Some(trouble.says().to_owned()), None),
            Err(unwound) if unwound.is::<Stopped>() => (JobState::Cancelled, None, None),
            Err(_) => (JobState::Failed, Some(OUR_FAULT.says().to_owned()), None),
        };
        *self.ended.lock().unwrap_or_else(PoisonError::into_inner) = Some(ended);
        self.tell();
    }
}

/// All works.
pub struct Jobs {
    all: Mutex<BTreeMap<u64, Arc<Job>>>,
    news: broadcast::Sender<News>,
}

impl Jobs {
    /// None yet.
    pub fn new(news: broadcast::Sender<News>) -> Jobs {
        Jobs { all: Mutex::default(), news }
    }

    /// Begins a work of so many parts behind, and gives its view back at once.
    pub fn begin(
        &self,
        (kind, revision): (&'static str, u64),
        parts: usize,
        work: impl FnOnce(&Progress) -> Result<Value, Trouble> + Send + 'static,
    ) -> JobView {
        let job = self.add(kind, revision, parts);
        let view = job.view();
        tokio::task::spawn_blocking(move || {
            let progress = Progress(Arc::clone(&job));
            job.end(catch_unwind(AssertUnwindSafe(|| work(&progress))));
        });
        view
    }

    fn add(&self, kind: &'static str, revision: u64, parts: usize) -> Arc<Job> {
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        let id = all.last_key_value().map_or(1, |(last, _)| last + 1);
        let job = Arc::new(Job {
            id,
            kind,
            revision,
            parts,
            done: AtomicUsize::new(0),
            stops: AtomicBool::new(false),
            ended: Mutex::new(None),
            news: self.news.clone(),
        });
        all.insert(id, Arc::clone(&job));
        while all.len() > KEPT {
            all.pop_first();
        }
        job
    }

    fn job(&self, id: u64) -> Result<Arc<Job>, Trouble> {
        let all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        let gone = || Trouble::NotFound(format!("there is no work {id}: its answer may have been forgotten"));
        all.get(&id).cloned().ok_or_else(gone)
    }

    /// How a work stands, with its answer.
    ///
    /// # Errors
    /// There is none of this number.
    pub fn view(&self, id: u64) -> Result<JobView, Trouble> {
        Ok(self.job(id)?.view())
    }

    /// Asks a work to stop; it does before its next part.
    ///
    /// # Errors
    /// There is none of this number.
    pub fn cancel(&self, id: u64) -> Result<JobView, Trouble> {
        let job = self.job(id)?;
        job.stops.store(true, Ordering::Relaxed);
        Ok(job.view())
    }
}
