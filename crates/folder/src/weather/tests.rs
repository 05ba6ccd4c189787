use super::*;

fn read(text: &str) -> WeatherFile {
    read_weather("weather.csv", text.as_bytes()).unwrap()
}

fn note_codes(file: &WeatherFile) -> Vec<&'static str> {
    file.notes.iter().map(|note| note.code).collect()
}

fn codes(text: &str) -> Vec<(&'static str, Option<usize>)> {
    let faults = read_weather("weather.csv", text.as_bytes()).unwrap_err();
    faults.iter().map(|fault| (fault.code, fault.line)).collect()
}

#[test]
fn rain_alone_is_weather() {
    let file = read("date,rain_mm\n2026-03-01,0\n2026-03-02,12.4\n2026-03-03,T\n");
    let rain: Vec<RainRead> = file.weather.days().iter().map(|of| of.rain).collect();
    assert_eq!(rain, [RainRead::Mm(0.0), RainRead::Mm(12.4), RainRead::Trace]);
    assert_eq!(note_codes(&file), ["column-absent"]);
    assert!(file.weather.days()[0].air().is_none());
}

/// An inch is 25.4 mm, 68 °F are 20 °C, 36 km/h are 10 m/s at 10 m, 7.48 at 2 m, 100 W/m² are 8.64 MJ/m² a day.
#[test]
fn other_names_and_units_are_understood() {
    let text = "Date;Precip (in);Tmin (°F);max_temp_f;RH min (%);rh_max_pct;wind_10m_km_h;Solar_W_m2\n\
                2026/03/01;1;50;68;40;90;36;100\n";
    let file = read(text);
    let of = file.weather.days()[0];
    assert_eq!(of.rain, RainRead::Mm(25.4));
    assert_eq!((of.tmin_c, of.tmax_c), (Some(10.0), Some(20.0)));
    assert_eq!(of.humidity, Some(Humidity::Extremes { least_frac: 0.4, greatest_frac: 0.9 }));
    assert!((of.wind_2m_m_s.unwrap() - 7.48).abs() < 0.005);
    let Some(Sunlight::RadiationMjM2(mj_m2)) = of.sunlight else { panic!("{:?}", of.sunlight) };
    assert!((mj_m2 - 8.64).abs() < 1e-12);
    // "RH min (%)" names its unit by a sign that no ending has: what it is taken for is told.
    assert_eq!(note_codes(&file), ["unit-assumed"]);
    let plain = read("date,precipitation,temp_max,temp_min,wind,weather\n2026-03-01,1,9,3,2,rain\n");
    assert_eq!(note_codes(&plain).iter().filter(|code| **code == "unit-assumed").count(), 4);
    assert_eq!(note_codes(&plain).last(), Some(&"columns-left-alone"));
}

#[test]
fn decimal_commas_and_three_columns_of_days() {
    let file = read("year;month;day;rain_mm;tmin_c;tmax_c\n2024;2;29;1,5;-0,5;9\n");
    assert_eq!(file.weather.days()[0].rain, RainRead::Mm(1.5));
    assert_eq!(file.weather.days()[0].tmin_c, Some(-0.5));
    assert!(file.notes.is_empty(), "{:?}", file.notes);
}

#[test]
fn what_is_missing_stays_missing_and_is_told() {
    let text = "date,rain_mm,gathered_days,tmin_c,tmax_c\n\
                2026-03-01,3,,2,9\n2026-03-02,,,NA,9\n2026-03-05,18,4,-9999,9\n2026-03-06,0,1,3,\n";
    let file = read(text);
    let days = file.weather.days();
    assert_eq!(days[1].rain, RainRead::NotRead);
    assert_eq!(days[2].rain, RainRead::Gathered { total_mm: 18.0, days: 4 });
    assert_eq!((days[1].tmin_c, days[2].tmin_c, days[3].tmax_c), (None, None, None));
    assert_eq!(note_codes(&file), ["marks-of-missing", "weather-gaps", "weather-gaps"]);
    assert!(file.notes[0].text.contains("2 cells"), "{}", file.notes[0].text);
    assert!(file.notes[1].text.contains("4 days lack rain"), "{}", file.notes[1].text);
    assert!(file.notes[2].text.contains("2026-03-02 to 2026-03-06"), "{}", file.notes[2].text);
}

#[test]
fn a_very_deep_day_is_asked_about_and_kept() {
    let file = read("date,rain_mm\n2026-03-01,412\n");
    assert_eq!(file.weather.days()[0].rain, RainRead::Mm(412.0));
    assert_eq!(note_codes(&file)[0], "rain-very-deep");
    assert!(file.notes[0].text.starts_with("weather.csv:2: 412.0 mm"), "{}", file.notes[0].text);
}

#[test]
fn every_fault_is_told_with_its_place() {
    let text = "date,rain_mm,tmin_c,tmax_c,rh_pct\n\
                2026-02-31,1,2,3,50\n\
                2026-03-02,-1,12,3,50\n\
                2026-03-02,1,2,68,500\n\
                2026-03-01,x,2,3,50\n\
                2026-03-07,2000,2,3,50\n";
    assert_eq!(
        codes(text),
        [
            ("not-a-day", Some(2)),
            ("rain-negative", Some(3)),
            ("temperatures-swapped", Some(3)),
            ("reading-impossible", Some(4)),
            ("reading-impossible", Some(4)),
            ("day-twice", Some(4)),
            ("not-a-number", Some(5)),
            ("days-out-of-order", Some(5)),
            ("beyond-all-rain", Some(6)),
        ]
    );
}

#[test]
fn columns_that_nobody_can_read_are_faults() {
    assert_eq!(codes("day,rain_mm\n1,2\n"), [("column-missing", Some(1))]);
    assert_eq!(codes("date,rain_mm,precip_in\n2026-03-01,1,1\n"), [("column-twice", Some(1))]);
    assert_eq!(codes("date,radiation\n2026-03-01,12\n"), [("unit-missing", Some(1))]);
    assert_eq!(codes("date,rain_mm\n")[0].0, "too-few-rows");
    let gathered = "date,rain_mm,gathered_days\n2026-03-01,1,\n2026-03-02,9,3\n";
    assert_eq!(codes(gathered), [("rain-gathered", Some(3))]);
    assert_eq!(codes("date,rain_mm,gathered_days\n2026-03-01,1,2.5\n"), [("gathered-days", Some(2))]);
    let humidity = "date,rh_min_pct,rh_max_pct\n2026-03-01,90,40\n";
    assert_eq!(codes(humidity), [("humidity-swapped", Some(2))]);
}
