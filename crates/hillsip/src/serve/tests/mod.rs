//! The app as a browser meets it, in this process.

mod alternatives;
mod field_book;
mod guard;
mod live;
mod reads;
mod wire;
mod writes;

use std::path::Path;
use std::sync::Arc;

use axum::body::{Body, to_bytes};
use axum::http::{Method, Request, StatusCode};
use axum::response::Response;
use serde_json::Value;
use tower::ServiceExt;

use super::app::{App, Shared, router};
use super::guard::TOKEN;
use crate::cmd::demo;

/// An app on a site folder of its own.
pub struct Bench {
    pub home: tempfile::TempDir,
    pub app: Shared,
}

/// Largest answer that a test takes in.
const MOST_ANSWER: usize = 64 << 20;

impl Bench {
    /// On the example site.
    pub fn demo() -> Bench {
        Bench::on(|dir| folder::create(dir, demo::FILES).unwrap())
    }

    /// On a folder that is filled first.
    pub fn on(fill: impl FnOnce(&Path)) -> Bench {
        let home = tempfile::tempdir().unwrap();
        let dir = home.path().join("site");
        std::fs::create_dir(&dir).unwrap();
        fill(&dir);
        let app = Arc::new(App::open(&dir).unwrap());
        Bench { home, app }
    }

    /// The same folder, the program ended and started again.
    pub fn started_anew(self) -> Bench {
        let app = Arc::new(App::open(&self.dir()).unwrap());
        Bench { home: self.home, app }
    }

    pub fn dir(&self) -> std::path::PathBuf {
        self.home.path().join("site")
    }

    pub fn plan(&self) -> String {
        std::fs::read_to_string(self.dir().join("site.toml")).unwrap()
    }

    pub async fn send(&self, request: Request<Body>) -> Response {
        router(Arc::clone(&self.app)).oneshot(request).await.unwrap()
    }

    pub async fn get(&self, path: &str) -> (StatusCode, Vec<u8>) {
        let request = Request::get(path).header("host", "localhost:8460").body(Body::empty()).unwrap();
        taken(self.send(request).await).await
    }

    pub async fn json(&self, path: &str) -> (StatusCode, Value) {
        let (status, bytes) = self.get(path).await;
        (status, serde_json::from_slice(&bytes).unwrap())
    }

    pub async fn ask(&self, method: Method, path: &str, body: &str) -> (StatusCode, Value) {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header("host", "localhost:8460")
            .header("content-type", "application/json")
            .header(TOKEN, &self.app.token)
            .body(Body::from(body.to_owned()))
            .unwrap();
        let (status, bytes) = taken(self.send(request).await).await;
        (status, serde_json::from_slice(&bytes).unwrap_or(Value::Null))
    }

    pub async fn post(&self, path: &str, body: &Value) -> (StatusCode, Value) {
        self.ask(Method::POST, path, &body.to_string()).await
    }
}

pub async fn taken(response: Response) -> (StatusCode, Vec<u8>) {
    let status = response.status();
    (status, to_bytes(response.into_body(), MOST_ANSWER).await.unwrap().to_vec())
}
