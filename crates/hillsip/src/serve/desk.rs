//! The site on the desk: read from its folder, edited, saved at once, and watched for what others change.
//!
//! The plan's text on the disk is the truth. Each accepted change writes it whole and atomically and grows the revision
//! by one; so does each change that somebody makes from outside. Steps taken back and made again give the bytes as they
//! were, also after the program was ended. Who asks for a change says which revision they saw: when the site has moved
//! on, the change is carried over where it is about other things, and refused with the new site where it is not.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, RwLock};

use folder::edit::{self, Edit};
use folder::field_book::FIELD_BOOK;
use folder::{Fault, NewFile, PLAN, Stamp, Steps, load_with, plan_bytes, save};
use site::Plan;
use tokio::sync::broadcast;

use super::complete::complete;
use super::held::Held;
use super::news::News;
use super::trouble::Trouble;
use super::wire::site::{self as view, FaultView, Shown, SiteView};

/// Plans of past revisions that changes may be based on: hours of edits, and a few megabytes.
const PAST_PLANS: usize = 500;

#[derive(Default)]
struct State {
    revision: u64,
    held: Option<Arc<Held>>,
    /// What is wrong with the files as they are now.
    faults: Vec<Fault>,
    /// The plan's bytes as last seen on the disk.
    on_disk: Option<Vec<u8>>,
    /// The files as last seen.
    stamp: Stamp,
    /// What can be taken back and made again; none until the plan could be read.
    steps: Option<Steps>,
    plans: BTreeMap<u64, Arc<Plan>>,
}

/// What came of a change.
pub struct Changed {
    /// The revision that it made.
    pub revision: u64,
    /// What it did, and what went with it.
    pub says: String,
    /// The site after it.
    pub site: SiteView,
}

/// How a text came to be the next.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    /// An edit from here: what was there can be come back to.
    Edited,
    /// A step back.
    Undone,
    /// A step made again.
    Redone,
}

/// The site on the desk.
pub struct Desk {
    dir: PathBuf,
    state: RwLock<State>,
    /// Whoever changes something holds it for the whole change.
    turn: Mutex<()>,
    news: broadcast::Sender<News>,
}

impl Desk {
    /// Reads the site of a folder. Faults are held and shown; only a folder that cannot be looked into is refused.
    ///
    /// # Errors
    /// There is no such folder.
    pub fn open(dir: &Path, news: broadcast::Sender<News>) -> Result<Desk, Vec<Fault>> {
        if let Err(faults) = plan_bytes(dir)
            && faults.iter().any(|fault| matches!(fault.code, "no-folder" | "file-not-folder"))
        {
            return Err(faults);
        }
        let desk = Desk { dir: dir.to_owned(), state: RwLock::default(), turn: Mutex::new(()), news };
        desk.read_again(OUTSIDE);
        Ok(desk)
    }

    fn turn(&self) -> MutexGuard<'_, ()> {
        self.turn.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn with<T>(&self, look: impl FnOnce(&State) -> T) -> T {
        look(&self.state.read().unwrap_or_else(PoisonError::into_inner))
    }

    fn change<T>(&self, how: impl FnOnce(&mut State) -> T) -> T {
        how(&mut self.state.write().unwrap_or_else(PoisonError::into_inner))
    }

    /// The site as last read.
    ///
    /// # Errors
    /// No site could be read yet.
    pub fn held(&self) -> Result<Arc<Held>, Trouble> {
        self.with(|state| state.held.clone().ok_or_else(|| Trouble::faults(state.faults.clone())))
    }

    /// The site as it is shown.
    pub fn view(&self) -> SiteView {
        self.with(site_view)
    }

    /// Makes an edit that was asked for on a revision.
    ///
    /// # Errors
    /// The site has moved on and the edit touches what changed, or it cannot be made.
    pub fn edit(&self, base_revision: u64, asked: &Edit) -> Result<Changed, Trouble> {
        let _turn = self.turn();
        let held = self.current()?;
        self.may_follow(base_revision, &held, asked)?;
        let asked = complete(asked, &held)?;
        let edited = edit::edited(&held.text, &asked)?;
        let mut says = edited.said.says;
        for also in edited.said.also {
            says.push_str("; ");
            says.push_str(&also);
        }
        self.put(&held, edited.text, says, Way::Edited)
    }

    /// What an edit would make of the site, without making it.
    ///
    /// # Errors
    /// It cannot be made.
    pub fn draft(&self, asked: &Edit) -> Result<(Arc<Held>, Plan), Trouble> {
        let held = self.held()?;
        let asked = complete(asked, &held)?;
        let edited = edit::edited(&held.text, &asked)?;
        Ok((held, edited.plan))
    }

    /// Takes the last step back.
    ///
    /// # Errors
    /// There is none, or the site has moved on.
    pub fn undo(&self, base_revision: u64) -> Result<Changed, Trouble> {
        self.step(base_revision, Way::Undone)
    }

    /// Makes the step again that was taken back last.
    ///
    /// # Errors
    /// There is none, or the site has moved on.
    pub fn redo(&self, base_revision: u64) -> Result<Changed, Trouble> {
        self.step(base_revision, Way::Redone)
    }

    fn step(&self, base_revision: u64, way: Way) -> Result<Changed, Trouble> {
        let _turn = self.turn();
        let held = self.current()?;
        if held.revision != base_revision {
            return Err(self.moved_on("the site has changed since: see what changed before stepping back"));
        }
        let undoes = way == Way::Undone;
        let step = self.with(|state| {
            let step =
                state.steps.as_ref().and_then(|steps| if undoes { steps.before() } else { steps.after() });
            step.map(|(says, text)| (says.to_owned(), text))
        });
        let Some((step, text)) = step else {
            let nothing =
                if undoes { "there is nothing to take back" } else { "there is nothing to make again" };
            return Err(Trouble::refused(nothing));
        };
        let says = if undoes { format!("took back: {step}") } else { format!("made again: {step}") };
        self.put(&held, text, says, way)
    }

    /// Begins the site of a folder that has none, or only the starter's.
    ///
    /// # Errors
    /// There is one, or a file cannot be written.
    pub fn begin(&self, files: &[NewFile], says: &str) -> Result<Changed, Trouble> {
        let _turn = self.turn();
        folder::begin(&self.dir, files).map_err(|fault| Trouble::faults(vec![fault]))?;
        self.read_again(says);
        let revision = self.with(|state| state.revision);
        Ok(Changed { revision, says: says.to_owned(), site: self.view() })
    }

    /// Makes the plan another text, as a step like any other. What was the plan is first kept aside where a name is
    /// given for it: if that cannot be done, nothing is.
    ///
    /// # Errors
    /// The site has moved on, the plan cannot be kept, or the text is no plan of this folder.
    pub fn become_text(
        &self,
        base_revision: u64,
        text: String,
        says: String,
        keep_as: Option<&str>,
    ) -> Result<Changed, Trouble> {
        let _turn = self.turn();
        let mut held = self.current()?;
        if held.revision != base_revision {
            return Err(self.moved_on("the site has changed since: nothing was done, look and do it again"));
        }
        if let Some(name) = keep_as {
            let kept = folder::keep_alternative(&self.dir, name, held.text.as_bytes());
            kept.map_err(|fault| Trouble::faults(vec![fault]))?;
            // Else the next look would take the layout for another program's.
            self.read_again(&kept_aside(name));
            held = self.current()?;
        }
        self.put(&held, text, says, Way::Edited)
    }

    /// The site, with whatever was changed outside read first.
    fn current(&self) -> Result<Arc<Held>, Trouble> {
        if self.changed_outside() {
            self.read_again(OUTSIDE);
        }
        let faults = self.with(|state| state.faults.clone());
        if faults.is_empty() { self.held() } else { Err(Trouble::faults(faults)) }
    }

    /// Whether an edit asked for on an older state of the site means the same on this one.
    fn may_follow(&self, base_revision: u64, held: &Held, asked: &Edit) -> Result<(), Trouble> {
        if base_revision == held.revision {
            return Ok(());
        }
        let base = self.with(|state| state.plans.get(&base_revision).cloned());
        let others = base.map(|base| edit::changed(&base, &held.site().plan));
        match others {
            Some(others) if others.is_disjoint(&asked.touches()) => Ok(()),
            _ => {
                Err(self
                    .moved_on("somebody else changed this meanwhile: nothing was done, look and do it again"))
            }
        }
    }

    fn moved_on(&self, says: &str) -> Trouble {
        Trouble::Conflict { says: says.to_owned(), site: Box::new(self.view()) }
    }

    /// Saves a text and makes it the site. The disk is written before anybody sees the change.
    fn put(&self, held: &Held, text: String, says: String, way: Way) -> Result<Changed, Trouble> {
        let loaded = load_with(&self.dir, text.as_bytes(), Some(&held.loaded)).map_err(Trouble::faults)?;
        let was = self.with(|state| state.on_disk.clone()).unwrap_or_default();
        if let Err(fault) = save(&self.dir, PLAN, &was, text.as_bytes()) {
            if fault.code != "changed-outside" {
                return Err(Trouble::faults(vec![fault]));
            }
            self.read_again(OUTSIDE);
            return Err(
                self.moved_on("the file was changed by another program at this moment: look and do it again")
            );
        }
        let revision = held.revision + 1;
        let next = Arc::new(Held::of(revision, text, loaded, Some(held)));
        self.change(|state| {
            if let Some(steps) = &mut state.steps {
                match way {
                    Way::Edited => steps.make(&next.text, bare(&says)),
                    Way::Undone => steps.take_back(),
                    Way::Redone => steps.make_again(),
                }
            }
            state.on_disk = Some(next.text.clone().into_bytes());
            // The stamp stays as it was: another program may have written while the answers were worked out, so the next
            // look compares the bytes.
            state.take(next);
        });
        self.tell(News::Changed { revision, says: says.clone() });
        Ok(Changed { revision, says, site: self.view() })
    }

    /// Looks at the folder, and reads it again where somebody changed it. Whether it did.
    pub fn look(&self) -> bool {
        let seen = self.with(|state| state.stamp.clone());
        if Stamp::of(&self.dir) == seen {
            return false;
        }
        let _turn = self.turn();
        let now = Stamp::of(&self.dir);
        let changed = self.changed_outside()
            || self.with(|state| now.changed_since(&state.stamp)).iter().any(|file| file != Path::new(PLAN));
        if changed {
            self.read_again(OUTSIDE);
        } else {
            // Written anew with the same bytes, or by us.
            self.change(|state| state.stamp = now);
        }
        changed
    }

    fn changed_outside(&self) -> bool {
        let now = plan_bytes(&self.dir).ok();
        self.with(|state| state.on_disk != now)
    }

    /// Writes something beside the plan, and reads it. What `writes` gives back besides its own is what it did, in
    /// words.
    ///
    /// # Errors
    /// As what writes.
    pub fn write_beside<T>(
        &self,
        writes: impl FnOnce(&Path) -> Result<(T, String), Vec<Fault>>,
    ) -> Result<T, Trouble> {
        let _turn = self.turn();
        if self.changed_outside() {
            self.read_again(OUTSIDE);
        }
        let (written, says) = writes(&self.dir).map_err(Trouble::faults)?;
        self.read_again(&says);
        Ok(written)
    }

    /// The folder.
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// The site as held, if none of the files changed since that its ground may be read from.
    fn with_its_ground(&self, now: &Stamp) -> Option<Arc<Held>> {
        let held = self.with(|state| state.held.clone())?;
        let changed = self.with(|state| now.changed_since(&state.stamp));
        changed.iter().all(|file| NO_GROUND.iter().any(|known| file.starts_with(known))).then_some(held)
    }

    /// Reads the folder anew. What was there before can be come back to.
    fn read_again(&self, says: &str) {
        let stamp = Stamp::of(&self.dir);
        let before = self.with_its_ground(&stamp);
        let before = before.as_deref();
        let bytes = plan_bytes(&self.dir);
        let on_disk = bytes.as_ref().ok().cloned();
        let read = bytes.and_then(|bytes| {
            let loaded = load_with(&self.dir, &bytes, before.map(|held| &held.loaded))?;
            Ok((String::from_utf8_lossy(&bytes).into_owned(), loaded))
        });
        let revision = self.with(|state| state.revision + 1);
        let read = read.map(|(text, loaded)| Arc::new(Held::of(revision, text, loaded, before)));
        self.change(|state| {
            state.stamp = stamp;
            state.on_disk = on_disk;
            match read {
                Ok(held) => {
                    state.steps = Some(Steps::open(&self.dir, &held.text, says));
                    state.take(held);
                }
                Err(faults) => {
                    state.faults = faults;
                    state.revision = revision;
                }
            }
        });
        self.tell(News::Changed { revision, says: says.to_owned() });
    }

    /// Answers what was left open, if anything was. Called from behind.
    pub fn settle(&self) {
        let open = self.with(|state| state.held.clone().filter(|held| !held.is_settled));
        let Some(open) = open else { return };
        let settled = Arc::new(open.settled());
        let still_it = self.change(|state| {
            let still_it = state.held.as_ref().is_some_and(|held| held.revision == settled.revision);
            if still_it {
                state.held = Some(settled);
            }
            still_it
        });
        if still_it {
            self.tell(News::Settled { revision: open.revision });
        }
    }

    fn tell(&self, news: News) {
        // Nobody listening is no fault.
        let _ = self.news.send(news);
    }
}

/// Files and folders that no ground is read from: where only they changed, the ground is not read again, which takes
/// seconds where it is large.
const NO_GROUND: [&str; 4] = [PLAN, FIELD_BOOK, "weather.csv", "alternatives"];

/// What is said of a change that was not made here.
const OUTSIDE: &str = "the files were changed by another program";

impl State {
    fn take(&mut self, held: Arc<Held>) {
        self.faults.clear();
        self.revision = held.revision;
        self.plans.insert(held.revision, Arc::new(held.site().plan.clone()));
        while self.plans.len() > PAST_PLANS {
            self.plans.pop_first();
        }
        self.held = Some(held);
    }
}

/// What is said of a plan that was kept aside.
pub fn kept_aside(name: &str) -> String {
    format!("kept the plan aside as \"{name}\"")
}

/// The sentence of a step without what went with it.
fn bare(says: &str) -> &str {
    says.split("; ").next().unwrap_or(says)
}

fn site_view(state: &State) -> SiteView {
    let said = |step: Option<(&str, String)>| step.map(|(says, _)| says.to_owned());
    let undo_says = said(state.steps.as_ref().and_then(Steps::before));
    let redo_says = said(state.steps.as_ref().and_then(Steps::after));
    let empty = SiteView {
        revision: state.revision,
        name: String::new(),
        north_deg: None,
        bounds_m: None,
        has_ground: false,
        catchments_known: false,
        lines: Vec::new(),
        sources: Vec::new(),
        trees: Vec::new(),
        keep_clears: Vec::new(),
        barriers: Vec::new(),
        services: Vec::new(),
        findings: Vec::new(),
        stop_findings: 0,
        notes: Vec::new(),
        cautions: view::cautions(),
        faults: state.faults.iter().map(FaultView::from).collect(),
        can_undo: undo_says.is_some(),
        undo_says,
        can_redo: redo_says.is_some(),
        redo_says,
        plan: None,
    };
    match &state.held {
        Some(held) => of_held(held, empty),
        None => empty,
    }
}

fn of_held(held: &Held, empty: SiteView) -> SiteView {
    let site = held.site();
    let shown = Shown { site, answers: &held.answers };
    let findings = &held.answers.findings.findings;
    let stops = findings.iter().filter(|finding| finding.severity == design::findings::Severity::Stop);
    SiteView {
        name: site.plan.name.clone(),
        north_deg: site.plan.place.anchor.map(|anchor| anchor.bearing_deg),
        bounds_m: shown.bounds_m(),
        has_ground: site.ground.is_some(),
        catchments_known: held.is_settled,
        lines: shown.lines(),
        sources: shown.sources(),
        trees: shown.trees(),
        keep_clears: view::keep_clears(&site.plan, false),
        barriers: view::barriers(&site.plan),
        services: view::keep_clears(&site.plan, true),
        findings: findings.iter().map(view::finding).collect(),
        stop_findings: stops.count(),
        notes: held.loaded.notes.iter().map(|note| note.text.clone()).collect(),
        plan: Some(site.plan.clone()),
        ..empty
    }
}
