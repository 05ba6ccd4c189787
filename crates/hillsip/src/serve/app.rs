//! What all handlers share, and which address is whose.

use std::fmt::Write as _;
use std::path::Path;
use std::sync::Arc;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware;
use folder::Fault;
use tokio::sync::broadcast;

use super::describe::endpoints;
use super::desk::Desk;
use super::jobs::Jobs;
use super::news::News;
use super::trouble::Trouble;
use super::{embedded, guard};

/// Bytes of a request without a photograph: an edit is a few hundred.
pub const MOST_BYTES: usize = 256 << 10;
/// News that a slow window may lag behind; one that lags more asks for everything anew.
const NEWS_KEPT: usize = 64;
/// Bytes of the token: as many as make guessing hopeless.
const TOKEN_BYTES: usize = 16;

/// The running app.
pub struct App {
    /// What a request that changes something must carry; another at each start.
    pub token: String,
    /// The site.
    pub desk: Desk,
    /// Long works.
    pub jobs: Jobs,
    /// News for the windows.
    pub news: broadcast::Sender<News>,
}

/// How handlers get it.
pub type Shared = Arc<App>;

impl App {
    /// Opens a site folder.
    ///
    /// # Errors
    /// It cannot be looked into.
    pub fn open(dir: &Path) -> Result<App, Vec<Fault>> {
        let (news, _) = broadcast::channel(NEWS_KEPT);
        Ok(App {
            token: random_hex(TOKEN_BYTES),
            desk: Desk::open(dir, news.clone())?,
            jobs: Jobs::new(news.clone()),
            news,
        })
    }
}

/// So many bytes of chance as hexadecimal digits.
pub fn random_hex(count: usize) -> String {
    let mut bytes = vec![0_u8; count];
    getrandom::fill(&mut bytes).expect("the system has random bytes");
    bytes.iter().fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

/// Everything that is served.
pub fn router(app: Shared) -> Router {
    let mut router = Router::new();
    for endpoint in endpoints() {
        router = router.route(endpoint.path, endpoint.answers);
    }
    router
        .fallback(embedded::file)
        .method_not_allowed_fallback(|| async { Trouble::NotThatMethod })
        .layer(DefaultBodyLimit::max(MOST_BYTES))
        .layer(middleware::from_fn_with_state(Arc::clone(&app), guard::check))
        .layer(middleware::from_fn(guard::catch))
        .with_state(app)
}

/// Works something out off the threads that answer; a panic there becomes words.
///
/// # Errors
/// As the work, or that the program failed in it.
pub async fn off_thread<T: Send + 'static>(
    app: &Shared,
    work: impl FnOnce(&App) -> Result<T, Trouble> + Send + 'static,
) -> Result<T, Trouble> {
    let app = Arc::clone(app);
    tokio::task::spawn_blocking(move || work(&app)).await.unwrap_or(Err(guard::OUR_FAULT))
}
