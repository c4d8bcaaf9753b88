//! Checks that nothing panics or answers with what is no number, whatever is asked, and that refusals are sentences. They must not know the
//! formulas.

use pintle::reckon::circuit::{Conductor, Load, Run};
use pintle::reckon::conduit::{Bundle, Trade};
use pintle::reckon::conduit_table::{ConduitKind, Insulation};
use pintle::reckon::force::{Movement, Place, Sample};
use pintle::reckon::sun::{Air, Day, Moment, Receiver, Site, SunYear};
use pintle::reckon::wire::{Build, Class, Surface};
use pintle::reckon::{
    Unreckonable, battery, beam, circuit, conduit, conduit_table, force, hinge, measuring, motion, separation, solar_array, sun, supply,
    wind, wire,
};
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
    fn movement_and_force([a, b, c, d] in [number(), number(), number(), number()], list in proptest::collection::vec(number(), 0..5)) {
        sound(motion::mean_speed(a, b))?;
        sound(motion::run_time(a, b))?;
        sound(motion::ramped_run_time(a, b, c, d))?;
        sound(motion::mean_tip_speed(a, b, c))?;
        sound(motion::sliding_energy(a, b))?;
        sound(motion::swinging_energy(a, b))?;
        sound(motion::turning_energy(a, b))?;
        sound(motion::stopping_distance(a, &list, c))?;
        sound(motion::stopping_time(a, &list, c))?;
        sound(motion::deceleration_over(a, b))?;
        sound(hinge::hinge_load(a, b, c, d).map(|load| load.level + load.upright.min(1.0)))?;
        sound(hinge::force_at_radius(a, b, c))?;
        sound(hinge::downhill_force(a, b))?;
        sound(separation::curtain_distance(a, b))?;
        sound(separation::beams_distance(a, (b.abs() % 8.0) as u32))?;
        sound(separation::level_field_distance(a, b, c))?;
        sound(force::mean_reading(&list))?;
        sound(force::peak_limit(Movement::Level, Place::Edge(a)))?;
        let record: Vec<Sample> = list.iter().zip([a, b, c, d]).map(|(&time, force)| Sample { time, force }).collect();
        sound(force::read_record(&record, a, b).map(|figures| figures.peak + figures.length.min(1.0)))?;
        sound(force::time_above(&record, a).map(|above| above.span))?;
        let mut sorted: Vec<f64> = list.clone();
        sorted.sort_by(f64::total_cmp);
        let record: Vec<Sample> = sorted.iter().zip([a, b, c, d]).map(|(&time, force)| Sample { time, force }).collect();
        sound(force::time_above(&record, b).map(|above| above.total))?;
    }

    #[test]
    fn wind_fog_and_measuring([a, b, c, d, e] in [number(), number(), number(), number(), number()]) {
        let sail = wind::Sail { width: a, height: b, solidity: c, coefficient: d };
        sound(wind::velocity_pressure(a, b, c))?;
        sound(sail.force(e))?;
        sound(sail.hinge_moment(e, a))?;
        sound(sail.ground_moment(e, a))?;
        sound(sail.speed_for_moment(e, a, b))?;
        sound(wind::bar_coefficient(a))?;
        sound(beam::through_fog(a, b))?;
        sound(beam::fog_loss(a, b))?;
        sound(measuring::tape_error(measuring::TapeClass::Three, a, true))?;
        sound(measuring::steel_growth(a, b))?;
        sound(measuring::guarded_most(a, b))?;
        sound(measuring::chance_at_most(a, b, c))?;
        sound(measuring::years_between_faults(a))?;
    }

    #[test]
    fn wires_and_conduits([a, b, c] in [number(), number(), number()], gauge in any::<i32>(), near_gauge in -5..45, count in any::<u32>()) {
        for gauge in [gauge, near_gauge] {
            sound(wire::gauge_diameter(gauge))?;
            sound(wire::gauge_area(gauge))?;
            sound(wire::gauge_resistance(gauge, Build::Solid, Surface::Coated, a))?;
            sound(wire::gauge_resistance(gauge, Build::Stranded, Surface::Plain, a))?;
            sound(wire::nominal_gauge_resistance(gauge, Build::Stranded, a))?;
            sound(conduit_table::conductor_area(Insulation::Tffn, gauge))?;
            sound(conduit_table::conductor_area(Insulation::Xhhw, gauge))?;
        }
        sound(wire::metric_resistance(a, Class::Solid, Surface::Coated, b))?;
        sound(wire::resistance_at(a, b, c))?;
        sound(wire::resistance_from_75(a, b, c))?;
        sound(wire::resistivity_of_k(a))?;
        sound(conduit_table::conduit_area(ConduitKind::Plastic40, a))?;
        sound(conduit::round_area(a))?;
        sound(conduit::fill(&[Bundle { count, area: a }], b, false).map(|fill| fill.ratio))?;
        sound(conduit::smallest(&[Trade { size: a, area: b }], &[Bundle { count, area: c }], true).map(|trade| trade.map_or(0.0, |trade| trade.area)))?;
        sound(conduit::most_alike(a, b).map(|count| count as f64))?;
    }

    #[test]
    fn power([a, b, c, d, e] in [number(), number(), number(), number(), number()], at in any::<usize>(), near in 0_usize..4, states in 0_u32..70) {
        sound(circuit::loop_drop(a, b, c))?;
        sound(circuit::three_phase_drop(a, b, c))?;
        sound(circuit::loop_drop_by_area(a, b, c, d))?;
        sound(circuit::longest_run(a, b, c))?;
        sound(circuit::largest_resistance(a, b, c))?;
        for at in [at, near] {
            let conductors = [Conductor { from: None, length: a, ohms: b }, Conductor { from: Some(at), length: b, ohms: c }];
            let loads = [Load { feed: Some(0), back: Some(at), current: d }, Load { feed: Some(at), back: None, current: a }];
            sound(circuit::voltages(e, a, &conductors, &loads).map(|flow| flow.volts.iter().sum::<f64>().clamp(-1.0, 1.0)))?;
            let runs = [Run { from: None, length: a, ohms: b, current: c }, Run { from: Some(at), length: b, ohms: c, current: d }];
            sound(circuit::run_voltages(e, a, &runs).map(|volts| volts.iter().sum::<f64>().clamp(-1.0, 1.0)))?;
        }
        let draws = [supply::Draw { current: a, states: 3 }, supply::Draw { current: b, states: u64::MAX }];
        sound(supply::budget(&draws, states, c).map(|budget| budget.most + budget.spare.clamp(-1.0, 1.0)))?;
        sound(supply::transformer_rating(a, b, c, d))?;
        sound(supply::rated_current(a, b))?;
        sound(battery::daily_charge(a, b, c, d))?;
        let reserve = battery::Reserve { days: b, depth: c, cold: d, aged: e };
        sound(battery::needed_capacity(a, &reserve))?;
        sound(battery::needed_capacity_for_energy(a, e, &reserve))?;
        sound(battery::lead_temperature_factor(a))?;
        sound(battery::peukert_time(a, b, c, d))?;
        sound(battery::peukert_charge(a, b, c, d))?;
        sound(battery::days_of_autonomy(a, b, &reserve))?;
        sound(battery::days_of_autonomy_by_use(a, b, c, &[(d, e), (e, a)], &reserve))?;
        sound(solar_array::array_power(a, b, c, d))?;
        sound(solar_array::daily_harvest(a, b, c))?;
        sound(solar_array::array_to_load(a, b, c, d))?;
        sound(solar_array::recovery_days(a, b, c, d, e).map(|days| days.unwrap_or(0.0)))?;
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
        sound(sun::off_axis(a, b, c, d))?;
        sound(sun::refracted(a, &Air { pressure: b, celsius: c }))?;
        sound(YEAR.bearings(a).map(|sun| sun.declination + sun.hour_angle))?;
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
    let gauge = wire::gauge_resistance(20, Build::Stranded, Surface::Plain, 75.0).unwrap_err();
    assert_eq!(gauge.to_string(), "The table of stranded gauge conductors does not list size 20.");
    assert_eq!(motion::run_time(1.0, 0.0).unwrap_err().to_string(), "The speed must be more than zero, and 0 is not.");
    assert_eq!(motion::run_time(f64::NAN, 1.0).unwrap_err().to_string(), "The travel is not a finite number.");
    assert_eq!(
        motion::run_time(1e300, 1e-300).unwrap_err().to_string(),
        "The run time comes out larger than any number that can be written."
    );
}
