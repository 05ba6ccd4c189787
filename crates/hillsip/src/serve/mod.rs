//! The local app: one site, served to the browser on this machine.
//!
//! A handler parses what is asked, asks `design`, and serialises. Listens on loopback only, never talks to the network,
//! and reads and writes nothing outside the site folder. What changes something carries a token that only our own page
//! was given ([`guard`]).
//!
//! Must not know: any formula.

mod app;
mod complete;
mod describe;
mod desk;
mod embedded;
mod guard;
mod hand;
mod held;
mod jobs;
mod live;
mod news;
mod openapi;
mod pictures;
mod routes;
#[cfg(test)]
mod tests;
mod trouble;
#[cfg(test)]
mod typescript;
mod watch;
mod wire;
mod work;

use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use std::sync::Arc;

use folder::Fault;
use tokio::net::TcpListener;

pub use app::App;

/// Why the app could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The folder cannot be looked into.
    #[error("the folder cannot be opened")]
    Folder(Vec<Fault>),
    /// The port is taken.
    #[error(
        "port {port} is taken by another program, or another site is open there: give another with --port, or --port 0"
    )]
    PortTaken {
        /// As asked.
        port: u16,
    },
    /// The system refuses.
    #[error("the app could not be opened: {0}")]
    System(#[from] io::Error),
}

/// Opens a site folder and serves it until the program is ended. `told` gets the address once it is listening.
///
/// # Errors
/// The folder cannot be looked into, or the port not be listened at.
pub fn serve(dir: &Path, port: u16, told: impl FnOnce(&str) -> io::Result<()>) -> Result<(), ServeError> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    runtime.block_on(async {
        let listener = match TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port))).await {
            Err(error) if error.kind() == io::ErrorKind::AddrInUse => {
                return Err(ServeError::PortTaken { port });
            }
            other => other?,
        };
        let app = Arc::new(App::open(dir).map_err(ServeError::Folder)?);
        told(&format!("http://{}/", listener.local_addr()?))?;
        watch::start(&app);
        let ended = async {
            // Without a signal to wait for the app simply stays open.
            if tokio::signal::ctrl_c().await.is_err() {
                std::future::pending::<()>().await;
            }
        };
        axum::serve(listener, app::router(app)).with_graceful_shutdown(ended).await?;
        Ok(())
    })
}
