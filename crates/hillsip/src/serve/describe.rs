//! What the interface is: each address once, with what it takes and gives. The router, the API's document and the front
//! end's types are all made from this list, so that they cannot say different things.

use axum::extract::DefaultBodyLimit;
use axum::routing::{MethodRouter, delete, get, post};
use folder::photos::MOST_PHOTO_BYTES;
use schemars::generate::{SchemaGenerator, SchemaSettings};
use schemars::{JsonSchema, Schema};

use super::app::Shared;
use super::jobs::JobView;
use super::live::{Ask, DraftView, WalkView, live};
use super::news::News;
use super::routes::begin::BeginAsked;
use super::routes::edit::{ChangedView, EditAsked, StepAsked};
use super::routes::ground::{ContoursAsked, HeightAsked, HeightView};
use super::routes::season::SeasonAsked;
use super::trouble::TroubleView;
use super::wire::field_book::FieldBookView;
use super::wire::rain::{FramesView, RainView, StormView};
use super::wire::site::{LineView, SiteView};
use super::work::RainAsked;
use super::{openapi, routes};

/// Where the schemas of named types stand in the API's document.
const SCHEMAS: &str = "/components/schemas";

/// An address.
pub struct Endpoint {
    /// GET, POST or DELETE.
    pub method: &'static str,
    /// As the router takes it; `{…}` stands for a part that varies.
    pub path: &'static str,
    /// What it does.
    pub says: &'static str,
    /// What follows `?`.
    pub query: Option<Described>,
    /// What the body holds.
    pub body: Option<Takes>,
    /// What is given back.
    pub gives: Gives,
    /// What answers.
    pub answers: MethodRouter<Shared>,
}

/// A type, described when the document is made.
pub type Described = fn(&mut SchemaGenerator) -> Schema;

/// What a body holds.
#[derive(Clone, Copy)]
pub enum Takes {
    /// JSON of a type.
    Json(Described),
    /// A file, by its media types.
    File(&'static str),
}

/// What an address gives back.
pub enum Gives {
    /// JSON of a type.
    Json(Described),
    /// Something else, by its media type and in words.
    Other(&'static str, &'static str),
}

fn of<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    generator.subschema_for::<T>()
}

impl Endpoint {
    fn get(path: &'static str, says: &'static str, gives: Gives, answers: MethodRouter<Shared>) -> Endpoint {
        Endpoint { method: "GET", path, says, query: None, body: None, gives, answers }
    }

    fn post<Asked: JsonSchema>(
        path: &'static str,
        says: &'static str,
        gives: Gives,
        answers: MethodRouter<Shared>,
    ) -> Endpoint {
        Endpoint {
            method: "POST",
            path,
            says,
            query: None,
            body: Some(Takes::Json(of::<Asked>)),
            gives,
            answers,
        }
    }

    fn asking<Query: JsonSchema>(self) -> Endpoint {
        Endpoint { query: Some(of::<Query>), ..self }
    }
}

fn json<T: JsonSchema>() -> Gives {
    Gives::Json(of::<T>)
}

/// Every address.
pub fn endpoints() -> Vec<Endpoint> {
    let mut all = of_the_site();
    all.extend(of_the_rain());
    all.extend(of_changes());
    all.extend(of_the_field_book());
    all.extend(of_alternatives());
    all.push(Endpoint::get(
        "/api/openapi.json",
        "This interface as an OpenAPI 3.1 document.",
        Gives::Other("application/json", "The document."),
        get(openapi::document),
    ));
    all.push(Endpoint::get(
        "/api/",
        "This interface as a page to read.",
        Gives::Other("text/html; charset=utf-8", "The page."),
        get(openapi::page),
    ));
    all
}

fn of_the_site() -> Vec<Endpoint> {
    const BYTES: &str = "application/octet-stream";
    vec![
        Endpoint::get("/api/site", "The site at its newest revision.", json::<SiteView>(), get(routes::site::site)),
        Endpoint::get(
            "/api/ground",
            "Light and shade of the ground.",
            Gives::Other(
                BYTES,
                "Little-endian: HSGR, version 1 (u32), columns, rows (u32), west and south edge and cell in m (f32), then \
                 a byte a cell from the north-west: 0 no ground, else 1 to 255 from shade to light.",
            ),
            get(routes::ground::relief),
        ),
        Endpoint::get(
            "/api/contours",
            "Contours; at a wider interval where they would be too many, told in x-hillsip-interval-m.",
            Gives::Other(
                BYTES,
                "Little-endian: HSCO, version 1, count (u32); each: height in m (f32), corners (u32), then east and north \
                 of each (f32).",
            ),
            get(routes::ground::contours),
        )
        .asking::<ContoursAsked>(),
        Endpoint::get(
            "/api/flow",
            "The ways in which water gathers on the ground as it is, without the works.",
            Gives::Other(BYTES, "As contours, with HSFL and the ground drained in m² in the place of the height."),
            get(routes::ground::flow),
        ),
        Endpoint::get(
            "/api/height",
            "Height, slope and the way of water at a place.",
            json::<HeightView>(),
            get(routes::ground::height),
        )
        .asking::<HeightAsked>(),
        Endpoint::get(
            "/api/planting",
            "Where each tree stands relative to its line, and whether that suits it.",
            json::<design::planting::Answer>(),
            get(routes::plans::planting),
        ),
        Endpoint::get(
            "/api/digging",
            "The order of work, its days, and what it needs.",
            json::<design::digging::Answer>(),
            get(routes::plans::digging),
        )
        .asking::<routes::plans::HandsAsked>(),
        Endpoint::get(
            "/api/calendar",
            "A year of work.",
            json::<design::calendar::Answer>(),
            get(routes::plans::calendar),
        ),
        Endpoint::get(
            "/api/paper",
            "The papers that can be drawn.",
            json::<Vec<routes::plans::PaperView>>(),
            get(routes::plans::papers),
        ),
        Endpoint::get(
            "/api/paper/{file}",
            "A paper, by its file.",
            Gives::Other("image/svg+xml", "A drawing to the scale of the paper."),
            get(routes::plans::paper),
        ),
    ]
}

fn of_the_rain() -> Vec<Endpoint> {
    vec![
        Endpoint::get(
            "/api/storms",
            "Storms to begin with, the plan's own first.",
            json::<Vec<StormView>>(),
            get(routes::rain::storms),
        ),
        Endpoint::get(
            "/api/rain",
            "What one storm does, the plan as drawn.",
            json::<RainView>(),
            get(routes::rain::rain),
        )
        .asking::<RainAsked>(),
        Endpoint::get(
            "/api/rain/frames",
            "Water along every line at some times, for the animation.",
            json::<FramesView>(),
            get(routes::rain::frames),
        )
        .asking::<RainAsked>(),
        Endpoint::post::<RainAsked>(
            "/api/rain/range",
            "Begins the storm with what is not known well drawn many times; the work's answer is a RainView.",
            json::<JobView>(),
            post(routes::rain::range),
        ),
        Endpoint::post::<RainAsked>(
            "/api/rain/steps",
            "Begins to look for the rain at which each line fills, spills and breaks out; the work's answer is a \
             StepsAnswer.",
            json::<JobView>(),
            post(routes::rain::steps),
        ),
        Endpoint::post::<SeasonAsked>(
            "/api/season",
            "Begins to live through the years day by day, each tree's water and the rounds of carrying it; the work's \
             answer is a SeasonAnswer.",
            json::<JobView>(),
            post(routes::season::season),
        ),
        Endpoint::get(
            "/api/jobs/{id}",
            "How a long work stands, with its answer once it is done.",
            json::<JobView>(),
            get(routes::jobs::job),
        ),
        Endpoint {
            method: "DELETE",
            ..Endpoint::get(
                "/api/jobs/{id}",
                "Stops a long work.",
                json::<JobView>(),
                delete(routes::jobs::cancel),
            )
        },
        Endpoint::get(
            "/api/live",
            "The live socket. A window sends {token} first, then {id, ask}; answers are {id, …}, {id, dropped: true} \
             where a newer question of the kind came, or {id, error}. News come without a number.",
            Gives::Other("application/json", "WebSocket messages: Ask, WalkView, RainView, DraftView, News."),
            get(live),
        ),
    ]
}

fn of_changes() -> Vec<Endpoint> {
    vec![
        Endpoint::post::<BeginAsked>(
            "/api/begin",
            "Begins the site in a folder that has none, or only the starter's: with the example, or a plan of one's own.",
            json::<ChangedView>(),
            post(routes::begin::begin),
        ),
        Endpoint::post::<EditAsked>(
            "/api/edit",
            "Makes a change and saves it. On an older revision it is carried over where it is about other things, else \
             answered 409 with the site as it is.",
            json::<ChangedView>(),
            post(routes::edit::edit),
        ),
        Endpoint::post::<StepAsked>(
            "/api/undo",
            "Takes the last change back.",
            json::<ChangedView>(),
            post(routes::edit::undo),
        ),
        Endpoint::post::<StepAsked>(
            "/api/redo",
            "Makes the change again that was taken back last.",
            json::<ChangedView>(),
            post(routes::edit::redo),
        ),
    ]
}

fn of_alternatives() -> Vec<Endpoint> {
    use routes::alternatives::{self, AdoptAsked, AlternativesView, KeepAsked};
    vec![
        Endpoint::get(
            "/api/alternatives",
            "The plan and the layouts kept aside, compared in one storm, the plan's design storm where none is given.",
            json::<AlternativesView>(),
            get(alternatives::compared),
        )
        .asking::<RainAsked>(),
        Endpoint::post::<KeepAsked>(
            "/api/alternatives",
            "Keeps the plan as it is aside under a name; one of that name is replaced, and stays in the history.",
            json::<Vec<String>>(),
            post(alternatives::keep),
        ),
        Endpoint::get(
            "/api/alternatives/{name}",
            "The lines of a layout kept aside, to be drawn beside those of the plan.",
            json::<Vec<LineView>>(),
            get(alternatives::lines),
        ),
        Endpoint {
            method: "DELETE",
            ..Endpoint::get(
                "/api/alternatives/{name}",
                "Drops a layout kept aside; it stays in the history.",
                json::<Vec<String>>(),
                delete(alternatives::drop_one),
            )
        },
        Endpoint::post::<AdoptAsked>(
            "/api/alternatives/{name}/adopt",
            "Makes a layout kept aside the plan, as a step that can be taken back; what was the plan may be kept under a \
             name.",
            json::<ChangedView>(),
            post(alternatives::adopt),
        ),
    ]
}

fn of_the_field_book() -> Vec<Endpoint> {
    use routes::field_book::{self, PhotoAsked, PhotoKept, SeenAsked};
    let photo = Endpoint {
        method: "POST",
        body: Some(Takes::File("image/jpeg, image/png, image/webp")),
        ..Endpoint::get(
            "/api/photo",
            "Keeps a photograph in the site folder, up to 8 MiB; its name goes into an entry of the field book.",
            json::<PhotoKept>(),
            post(field_book::keep_photo).layer(DefaultBodyLimit::max(MOST_PHOTO_BYTES)),
        )
        .asking::<PhotoAsked>()
    };
    vec![
        Endpoint::get(
            "/api/field-book",
            "What was seen, and the kinds of things that can be.",
            json::<FieldBookView>(),
            get(field_book::field_book),
        ),
        Endpoint::post::<SeenAsked>(
            "/api/field-book",
            "Writes down something seen. Under the id of an earlier entry it puts that right, or with struck strikes it \
             out; the same entry without struck brings it back.",
            json::<FieldBookView>(),
            post(field_book::write_down),
        ),
        photo,
        Endpoint::get(
            "/api/photo/{name}",
            "A photograph of the site folder.",
            Gives::Other("image/*", "The picture as it was kept."),
            get(field_book::photo),
        ),
    ]
}

/// Types that go over the wire without an address of their own.
const BESIDES: [Described; 6] = [
    of::<WalkView>,
    of::<DraftView>,
    of::<News>,
    of::<TroubleView>,
    of::<design::rain_test::steps::Answer>,
    of::<design::season::Answer>,
];

/// Schemas of everything that is given, and of everything that is asked.
pub struct Schemas {
    /// What is given.
    pub given: SchemaGenerator,
    /// What is asked.
    pub asked: SchemaGenerator,
}

impl Schemas {
    /// Of every address.
    pub fn of_all() -> Schemas {
        let settings = || SchemaSettings::draft2020_12().with(|s| s.definitions_path = SCHEMAS.into());
        let mut schemas = Schemas {
            given: settings().for_serialize().into_generator(),
            asked: settings().into_generator(),
        };
        for endpoint in endpoints() {
            if let Gives::Json(described) = endpoint.gives {
                described(&mut schemas.given);
            }
            let body = match endpoint.body {
                Some(Takes::Json(described)) => Some(described),
                Some(Takes::File(_)) | None => None,
            };
            for described in endpoint.query.into_iter().chain(body) {
                described(&mut schemas.asked);
            }
        }
        for described in BESIDES {
            described(&mut schemas.given);
        }
        of::<Ask>(&mut schemas.asked);
        schemas
    }

    /// All named types: those given, and those asked that are not the same, under a name of their own.
    pub fn named(&self) -> serde_json::Map<String, serde_json::Value> {
        let given = self.given.definitions();
        let mut all = given.clone();
        let names = own_names(given, self.asked.definitions());
        for (name, schema) in self.asked.definitions() {
            let mut schema = schema.clone();
            rename(&mut schema, &names);
            let own = names.get(name).unwrap_or(name);
            all.insert(own.clone(), schema);
        }
        all
    }

    /// A schema of what is asked, with its references by the names of [`Schemas::named`].
    pub fn asked_as_named(&mut self, described: Described) -> serde_json::Value {
        let mut schema = serde_json::Value::from(described(&mut self.asked));
        rename(&mut schema, &own_names(self.given.definitions(), self.asked.definitions()));
        schema
    }
}

type Names = std::collections::BTreeMap<String, String>;

/// Names for asked types that differ from the given type of their name, and for those that hold one that differs.
fn own_names(
    given: &serde_json::Map<String, serde_json::Value>,
    asked: &serde_json::Map<String, serde_json::Value>,
) -> Names {
    let mut names = Names::new();
    loop {
        let before = names.len();
        for (name, schema) in asked {
            let mut renamed = schema.clone();
            rename(&mut renamed, &names);
            if given.get(name).is_some_and(|given| *given != renamed) {
                names.entry(name.clone()).or_insert_with(|| format!("{name}Asked"));
            }
        }
        if names.len() == before {
            return names;
        }
    }
}

fn rename(schema: &mut serde_json::Value, names: &Names) {
    match schema {
        serde_json::Value::Object(keys) => {
            if let Some(serde_json::Value::String(to)) = keys.get_mut("$ref")
                && let Some(own) = to.rsplit('/').next().and_then(|name| names.get(name))
            {
                *to = format!("#{SCHEMAS}/{own}");
            }
            keys.values_mut().for_each(|value| rename(value, names));
        }
        serde_json::Value::Array(items) => items.iter_mut().for_each(|item| rename(item, names)),
        _ => {}
    }
}
