//! What follows `?`, and bodies, with our own words where they do not say what they should.

use axum::extract::rejection::{JsonRejection, QueryRejection};
use axum::extract::{FromRequest, FromRequestParts};
use axum::http::StatusCode;

use crate::serve::trouble::Trouble;

/// Keys and values after `?`.
#[derive(FromRequestParts)]
#[from_request(via(axum::extract::Query), rejection(Trouble))]
pub struct Query<T>(pub T);

/// A body of JSON.
#[derive(FromRequest)]
#[from_request(via(axum::Json), rejection(Trouble))]
pub struct Body<T>(pub T);

impl From<QueryRejection> for Trouble {
    fn from(rejected: QueryRejection) -> Trouble {
        Trouble::Bad(rejected.body_text())
    }
}

impl From<JsonRejection> for Trouble {
    fn from(rejected: JsonRejection) -> Trouble {
        if rejected.status() == StatusCode::PAYLOAD_TOO_LARGE {
            return Trouble::TooLarge("the request is larger than any that this address takes".to_owned());
        }
        Trouble::Bad(rejected.body_text())
    }
}
