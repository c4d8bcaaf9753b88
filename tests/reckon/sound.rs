//! Checks that nothing panics or answers with what is no number, whatever is asked, and that refusals are sentences. They must not know the
//! formulas.

use pintle::reckon::circuit::Run;
use pintle::reckon::force::Sample;
use pintle::reckon::sun::{Air, Day, Moment, Receiver, Site, SunYear};
use pintle::reckon::wire::Build;
use pintle::reckon::{Unreckonable, battery, beam, circuit, force, leaf, sun, wind, wire};
use proptest::prelude::*;
use std::sync::LazyLock;

static YEAR: LazyLock<SunYear> = LazyLock::new(|| SunYear::new(2026).unwrap());

/// Any number at all, often a likely one, often an awkward one.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        -10.0..1000.0,
        0.0..1.0,
        proptest::sample::select(vec![
            0.0,
            -0.0,
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::MAX,
            f64::MIN,
            f64::MIN_POSITIVE,
            1e-320
        ])
    ]
}

fn sound(answer: Result<f64, Unreckonable>) -> Result<(), TestCaseError> {
    match answer {
        Ok(number) => prop_assert!(number.is_finite(), "{}", number),
        Err(refusal) => {
            let sentence = refusal.to_string();
            prop_assert!(sentence.ends_with('.') && sentence.starts_with(|first: char| first.is_uppercase()), "{}", sentence);
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn leaves_forces_and_light([a, b, c, d] in [number(), number(), number(), number()], list in proptest::collection::vec(number(), 0..5)) {
        sound(leaf::mean_tip_speed(a, b, c))?;
        sound(leaf::hinge_pull(a, b, c))?;
        sound(leaf::downhill_force(a, b))?;
        sound(wind::bar_coefficient(a))?;
        sound(beam::through_fog(a, b))?;
        let record: Vec<Sample> = list.iter().zip([a, b, c, d]).map(|(&time, force)| Sample { time, force }).collect();
        sound(force::time_above(&record, a).map(|above| above.span))?;
        let mut sorted: Vec<f64> = list.clone();
        sorted.sort_by(f64::total_cmp);
        let record: Vec<Sample> = sorted.iter().zip([a, b, c, d]).map(|(&time, force)| Sample { time, force }).collect();
        sound(force::time_above(&record, b).map(|above| above.span))?;
    }

    #[test]
    fn wires([a, b, c] in [number(), number(), number()], gauge in any::<i32>(), near_gauge in -5..45) {
        for gauge in [gauge, near_gauge] {
            sound(wire::gauge_diameter(gauge))?;
            sound(wire::gauge_area(gauge))?;
            sound(wire::gauge_resistance(gauge, Build::Solid, a))?;
            sound(wire::gauge_resistance(gauge, Build::Stranded, a))?;
            sound(wire::nominal_gauge_resistance(gauge, Build::Stranded, a))?;
        }
        sound(wire::metric_resistance(a, b))?;
        sound(wire::resistance_at(a, b, c))?;
    }

    #[test]
    fn power([a, b, c, d, e] in [number(), number(), number(), number(), number()], at in any::<usize>(), near in 0_usize..4) {
        for at in [at, near] {
            let runs = [Run { from: None, length: a, ohms: b, current: c }, Run { from: Some(at), length: b, ohms: c, current: d }];
            sound(circuit::run_voltages(e, &runs).map(|volts| volts.iter().sum::<f64>().clamp(-1.0, 1.0)))?;
        }
        sound(battery::lead_temperature_factor(a))?;
        sound(battery::peukert_time(a, b, c, d))?;
    }

    #[test]
    fn sun_anywhere([a, b, c, d, e] in [number(), number(), number(), number(), number()], year in any::<i32>(), month in any::<u8>(), day in any::<u8>()) {
        for day in [Day { year, month, day }, Day { year: 2026, month: month % 14, day: day % 33 }] {
            let moment = Moment { day, seconds: d, offset: e };
            let site = Site { latitude: a, longitude: b, height: c };
            sound(sun::sun_position(&site, &moment, &Air { pressure: a, celsius: b }).map(|sun| sun.elevation + sun.azimuth))?;
            sound(sun::sun_position(&site, &moment, &Air::STANDARD).map(|sun| sun.elevation + sun.azimuth))?;
            sound(sun::rising(a, b, day, e).map(|rising| rising.rise.unwrap_or(0.0)))?;
            sound(sun::day_of_year(day).map(f64::from))?;
            sound(Day::of_year(year, u16::from(month) * 2).map(|day| f64::from(day.day)))?;
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn glare_anywhere([a, b, c, d, e, f, g] in [number(), number(), number(), number(), number(), number(), number()]) {
        let any = Receiver { latitude: a, longitude: b, bearing: c, tilt: d, half_angle: e, skyline: f };
        sound(sun::glare(&YEAR, g, &any).map(|glare| glare.total))?;
        let held = |number: f64, most: f64| if number.is_finite() { number % most } else { 0.0 };
        let likely = Receiver {
            latitude: held(a, 1.57),
            longitude: held(b, 3.1),
            bearing: held(c, 100.0),
            tilt: held(d, 1.57),
            half_angle: held(e, 0.5).abs(),
            skyline: held(f, 0.3),
        };
        sound(sun::compare_ends(&YEAR, held(g, 50_000.0), &likely).map(|ends| ends.here.total + ends.there.total))?;
    }
}

#[test]
fn refusals_are_sentences() {
    let latitude = sun::rising(91.0_f64.to_radians(), 0.0, Day { year: 2026, month: 1, day: 1 }, 0.0).unwrap_err();
    assert_eq!(latitude.to_string(), "The latitude must lie between -90 and 90 degrees, and 91 degrees does not.");
    let gauge = wire::gauge_resistance(20, Build::Stranded, 75.0).unwrap_err();
    assert_eq!(gauge.to_string(), "The table of stranded gauge conductors does not list size 20.");
    let speed = |length, time| leaf::mean_tip_speed(length, 1.0, time).unwrap_err().to_string();
    assert_eq!(speed(1.0, 0.0), "The time must be more than zero, and 0 is not.");
    assert_eq!(speed(f64::NAN, 1.0), "The length of the leaf is not a finite number.");
    assert_eq!(speed(1e300, 1e-300), "The mean tip speed comes out larger than any number that can be written.");
    let cold = battery::lead_temperature_factor(-7.0).unwrap_err().to_string();
    assert!(cold.starts_with("The temperature of the battery in °C must lie between"), "{cold}");
}
