//! The day of judging where none is given: the day of the clock, in the zone of this machine. It must not know what is judged.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

/// The day of the clock.
pub fn day() -> Date {
    day_at(Timestamp::now(), std::env::var_os("TZ").is_some(), || std::fs::read("/etc/localtime").ok())
}

/// The day at a moment, in the zone of the one file that holds that of a machine. A zone is looked for by name only where the
/// environment names one, or where the file does not tell it: that walks through the whole database of zones.
fn day_at(now: Timestamp, named: bool, file: impl FnOnce() -> Option<Vec<u8>>) -> Date {
    let zone = if named { None } else { file().and_then(|bytes| TimeZone::tzif("local", &bytes).ok()) };
    now.to_zoned_datetime(zone.unwrap_or_else(TimeZone::system)).date()
}

#[cfg(test)]
mod tests {
    use super::day_at;
    use jiff::Timestamp;
    use jiff::tz::TimeZone;

    /// A file of one zone without a change of clocks, so many hours east of Greenwich, by RFC 9636: a block of the first version,
    /// one of the second, and its rule as a footer.
    fn zone_file(hours: i32, rule: &str) -> Vec<u8> {
        let mut block = b"TZif2".to_vec();
        block.extend([0; 15]);
        // Counts of marks of universal time, of standard time, of leap seconds, of changes, of kinds of time, of letters.
        for count in [0_u32, 0, 0, 0, 1, 4] {
            block.extend(count.to_be_bytes());
        }
        block.extend((hours * 3600).to_be_bytes());
        block.extend([0, 0]);
        block.extend(b"LMT\0");
        [block.clone(), block, format!("\n{rule}\n").into_bytes()].concat()
    }

    fn day(moment: &str, file: Option<Vec<u8>>) -> String {
        day_at(moment.parse().expect("a moment"), false, || file).to_string()
    }

    #[test]
    fn the_day_is_that_of_the_machines_zone() {
        let (east, west) = (zone_file(13, "<+13>-13"), zone_file(-10, "<-10>10"));
        assert_eq!(day("2026-03-31T10:59:59Z", Some(east.clone())), "2026-03-31");
        assert_eq!(day("2026-03-31T11:00:00Z", Some(east)), "2026-04-01");
        assert_eq!(day("2026-04-01T09:59:59Z", Some(west.clone())), "2026-03-31");
        assert_eq!(day("2026-04-01T10:00:00Z", Some(west)), "2026-04-01");
    }

    #[test]
    fn clocks_are_put_forward_by_the_rule_of_the_file() {
        // Six hours behind, five from the second Sunday of March to the first of November: the rule of the daylight time there.
        let file = zone_file(-6, "CST6CDT,M3.2.0,M11.1.0");
        assert_eq!(day("2026-01-02T05:30:00Z", Some(file.clone())), "2026-01-01");
        assert_eq!(day("2026-07-02T05:30:00Z", Some(file)), "2026-07-02");
    }

    /// What the library makes of this machine by itself.
    fn by_itself(now: Timestamp) -> String {
        now.to_zoned_datetime(TimeZone::system()).date().to_string()
    }

    #[test]
    fn without_such_a_file_the_zone_is_looked_for() {
        let moments = ["2026-03-31T11:00:00Z", "2026-04-01T00:00:00Z", "2026-04-01T09:59:59Z", "2026-04-01T23:30:00Z"];
        for moment in moments {
            let now: Timestamp = moment.parse().expect("a moment");
            let torn = zone_file(13, "<+13>-13")[..30].to_vec();
            for file in [None, Some(Vec::new()), Some(b"TZif".to_vec()), Some(b"no zone at all".to_vec()), Some(torn)] {
                assert_eq!(day(moment, file), by_itself(now));
            }
            // Where the environment names a zone, the file has no say.
            let named = day_at(now, true, || panic!("the file is read"));
            assert_eq!(named.to_string(), by_itself(now));
        }
    }
}
