//! What is answered when a request is not done: a status, and words that a person can act on.

use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use folder::Fault;
use folder::edit::EditError;
use schemars::JsonSchema;
use serde::Serialize;

use super::wire::site::{FaultView, SiteView};

/// Why a request was not done.
#[derive(Debug)]
pub enum Trouble {
    /// The request does not say what it should.
    Bad(String),
    /// It is larger than any request of ours.
    TooLarge(String),
    /// Its address does not take its method.
    NotThatMethod,
    /// It does not come from our own page.
    Forbidden(&'static str),
    /// There is no such thing.
    NotFound(String),
    /// The site has moved on, and what was asked touches what changed.
    Conflict {
        /// In words.
        says: String,
        /// The site as it is now.
        site: Box<SiteView>,
    },
    /// It was understood and cannot be done.
    Refused {
        /// In words.
        says: String,
        /// The faults that are the reason.
        faults: Vec<Fault>,
    },
    /// Our own fault.
    Broken(&'static str),
}

/// The body of every answer that is not a success.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TroubleView {
    /// What was found, and what to do.
    pub says: String,
    /// Faults of files that are the reason.
    pub faults: Vec<FaultView>,
    /// The site as it is now, where the request was made on an older state of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<Box<SiteView>>,
}

impl Trouble {
    /// Understood, and cannot be done.
    #[expect(clippy::needless_pass_by_value, reason = "errors are handed over by map_err")]
    pub fn refused(says: impl ToString) -> Trouble {
        Trouble::Refused { says: says.to_string(), faults: Vec::new() }
    }

    /// Files that cannot be read or written.
    pub fn faults(faults: Vec<Fault>) -> Trouble {
        let says = faults.first().map_or_else(String::new, ToString::to_string);
        Trouble::Refused { says, faults }
    }

    fn status(&self) -> StatusCode {
        match self {
            Trouble::Bad(_) => StatusCode::BAD_REQUEST,
            Trouble::TooLarge(_) => StatusCode::PAYLOAD_TOO_LARGE,
            Trouble::NotThatMethod => StatusCode::METHOD_NOT_ALLOWED,
            Trouble::Forbidden(_) => StatusCode::FORBIDDEN,
            Trouble::NotFound(_) => StatusCode::NOT_FOUND,
            Trouble::Conflict { .. } => StatusCode::CONFLICT,
            Trouble::Refused { .. } => StatusCode::UNPROCESSABLE_ENTITY,
            Trouble::Broken(_) => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// In words.
    pub fn says(&self) -> &str {
        match self {
            Trouble::Bad(says) | Trouble::TooLarge(says) | Trouble::NotFound(says) => says,
            Trouble::NotThatMethod => "this address does not take that method",
            Trouble::Forbidden(says) | Trouble::Broken(says) => says,
            Trouble::Conflict { says, .. } | Trouble::Refused { says, .. } => says,
        }
    }
}

impl From<EditError> for Trouble {
    fn from(error: EditError) -> Trouble {
        Trouble::Refused { says: error.to_string(), faults: error.faults().to_vec() }
    }
}

impl IntoResponse for Trouble {
    fn into_response(self) -> Response {
        let status = self.status();
        let says = self.says().to_owned();
        let (faults, site) = match self {
            Trouble::Refused { faults, .. } => (faults.iter().map(FaultView::from).collect(), None),
            Trouble::Conflict { site, .. } => (Vec::new(), Some(site)),
            _ => (Vec::new(), None),
        };
        (status, Json(TroubleView { says, faults, site })).into_response()
    }
}
