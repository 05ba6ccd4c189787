//! The bound report.

use design::digging::Hands;
use design::rain_test::{self, Request, rain_test, steps};
use design::storms::{StormRequest, WetBefore, storm};
use paper::page::{Mark, Page};
use paper::report::{Bundle, Chapter, only, report};
use paper::{Format, Subject, pdf};
use site::Site;

use crate::{odd_sites, quarry_bank};

/// The answers that a report is bound from.
struct Answered {
    answers: design::Answers,
    rain: Result<(rain_test::Answer, steps::Answer), String>,
    digging: design::digging::Answer,
    calendar: design::calendar::Answer,
    planting: design::planting::Answer,
    neighbours: design::neighbours::Answer,
}

fn answered(site: &Site) -> Answered {
    let answers = design::answer(site);
    let asked =
        StormRequest { depth_mm: None, hours: None, shape: None, gauge: None, wet_before: WetBefore::Usual };
    let rain = storm(site, &asked).map_err(|error| error.to_string()).and_then(|storm| {
        let request = Request::of(&storm, 1, 1);
        let rain = rain_test(site, &answers.layout, &request, &|| ()).map_err(|error| error.to_string())?;
        let steps =
            steps::steps(site, &answers.layout, &request, &|| ()).map_err(|error| error.to_string())?;
        Ok((rain, steps))
    });
    Answered {
        rain,
        digging: design::digging::digging(
            site,
            &answers.layout,
            &answers.sizes,
            Hands { people: 1, days: None },
        ),
        calendar: design::calendar::calendar(site.plan.place.latitude_deg, None),
        planting: design::planting::planting(site, &answers.layout, &answers.sizes),
        neighbours: design::neighbours::neighbours(site, &answers.layout, &answers.sizes),
        answers,
    }
}

fn bundle<'a>(site: &'a Site, answered: &'a Answered, format: Format) -> Bundle<'a> {
    Bundle {
        subject: Subject { format, ..Subject::new(site, &answered.answers) },
        rain: answered.rain.as_ref().map(|(rain, steps)| (rain, steps)).map_err(String::as_str),
        digging: &answered.digging,
        calendar: &answered.calendar,
        planting: &answered.planting,
        neighbours: &answered.neighbours,
    }
}

/// Every word of a page.
fn words(page: &Page) -> String {
    fn gather(marks: &[Mark], all: &mut String) {
        for mark in marks {
            match mark {
                Mark::Text(text) => {
                    all.push_str(&text.words);
                    all.push(' ');
                }
                Mark::Within(_, inner) | Mark::Named(_, inner) | Mark::Part(_, inner) => gather(inner, all),
                Mark::Drawn(_) | Mark::Picture(_) => {}
            }
        }
    }
    let mut all = String::new();
    gather(&page.marks, &mut all);
    all
}

/// Each chapter has a page, the list at the front names the page on which each begins, and all are numbered.
#[test]
fn the_demo_is_bound() {
    let site = quarry_bank::site();
    let answered = answered(&site);
    let bound = report(&bundle(&site, &answered, Format::A4));
    for chapter in Chapter::ALL.into_iter().filter(|chapter| *chapter != Chapter::Neighbour) {
        assert!(bound.iter().any(|bound| bound.chapter == chapter), "{chapter:?} is missing");
    }
    for (i, bound) in bound.iter().enumerate() {
        let number = format!("page {} of ", i + 1);
        assert!(words(&bound.page).contains(&number), "{number}: {}", bound.page.title);
    }
    let front: String = bound.iter().filter(|b| b.chapter == Chapter::Job).map(|b| words(&b.page)).collect();
    for chapter in [Chapter::Plan, Chapter::Water, Chapter::Rain, Chapter::Digging, Chapter::Assumptions] {
        let begins =
            bound.iter().position(|bound| bound.chapter == chapter && !is_along(&bound.page)).unwrap();
        let entry = format!("{} {} ", chapter.title(), begins + 1);
        assert!(front.contains(&entry), "the front does not say: {entry}\n{front}");
    }
}

/// The storm along a line is bound with the line.
fn is_along(page: &Page) -> bool {
    page.title.contains("The storm along")
}

/// Sites that lack much: the report says what is missing and is written all the same, on A4 and on Letter.
#[test]
fn odd_sites_are_bound() {
    let nothing = odd_sites::site(&format!("name = \"Nothing yet\"\n{}", odd_sites::HEAD), None);
    for site in [nothing, odd_sites::by_tape(), odd_sites::with_a_line("<b>&'水'</b>", 0.0, 0.0)] {
        let answered = answered(&site);
        for format in [Format::A4, Format::Letter] {
            let pages: Vec<Page> =
                report(&bundle(&site, &answered, format)).into_iter().map(|bound| bound.page).collect();
            pdf::write("report", &pages).unwrap();
        }
        let told: String =
            only(&bundle(&site, &answered, Format::A4), Chapter::Job).iter().map(words).collect();
        if site.plan.lines.is_empty() {
            assert!(told.contains("The plan has no lines yet"), "{told}");
        }
        if let Err(because) = &answered.rain {
            assert!(told.contains(&because[..20]), "{told}");
        }
    }
}

/// What says stop stands on the first page of the report and before each chapter that is printed alone.
#[test]
fn a_stop_stands_first_whatever_is_printed() {
    let mut site = odd_sites::with_a_line("d", 0.0, 0.0);
    site.plan.soils[0].jar_test = Some(site::JarTest::Clouds);
    let answered = answered(&site);
    assert!(answered.answers.findings.says_stop());
    let bundle = bundle(&site, &answered, Format::A4);
    let first = |pages: &[Page]| words(&pages[0]);
    let whole: Vec<Page> = report(&bundle).into_iter().map(|bound| bound.page).collect();
    assert!(first(&whole).contains("STOP") && first(&whole).contains("Soil that melts in water"));
    for chapter in Chapter::ALL {
        let pages = only(&bundle, chapter);
        if !pages.is_empty() {
            assert!(first(&pages).contains("STOP"), "{chapter:?}: {}", first(&pages));
        }
    }
}

/// The page for those next door is no longer than two pages, with the figures of the rain test.
#[test]
fn the_neighbour_page_is_short() {
    let site = quarry_bank::site();
    let answered = answered(&site);
    for format in [Format::A4, Format::Letter] {
        let pages = only(&bundle(&site, &answered, format), Chapter::Neighbour);
        assert_eq!(pages.len(), 2, "words on one page, the plan on the other");
        let told = words(&pages[0]);
        assert!(told.contains("digging from"), "the words end on their page: {told}");
        let rain = &answered.rain.as_ref().unwrap().0.site;
        assert!(told.contains(&quantity::figures::range(rain.peak_after_l_s, 1)), "{told}");
    }
}
