//! Looks at the folder twice a second, and works behind what was left open.

use std::sync::Arc;
use std::time::Duration;

use tokio::task::spawn_blocking;

use super::app::Shared;
use super::news::News;

/// How often. Often enough that who saves in an editor and turns to the app finds it there.
const EVERY: Duration = Duration::from_millis(500);

/// Starts looking, until the program ends.
pub fn start(app: &Shared) {
    let looks = Arc::clone(app);
    tokio::spawn(async move {
        loop {
            tokio::time::sleep(EVERY).await;
            let app = Arc::clone(&looks);
            // A panic of one look is told on standard error by itself; the next look goes on.
            let _ = spawn_blocking(move || app.desk.look()).await;
        }
    });
    let settles = Arc::clone(app);
    tokio::spawn(async move {
        let mut news = settles.news.subscribe();
        while let Ok(told) = news.recv().await {
            if matches!(told, News::Changed { .. }) {
                let app = Arc::clone(&settles);
                let _ = spawn_blocking(move || app.desk.settle()).await;
            }
        }
    });
}
