//! The hash that ties a sheet to its files: the job and what it names, every file of its packs, the punch list, the day of judging, the version of
//! the program. It must not know how a sheet looks.

use crate::datum::Datum;
use crate::job::Fact;
use crate::judge::Subject;
use crate::source::FileId;
use sha2::{Digest, Sha256};

/// Says what is hashed and how; another way of hashing has another number.
const SHAPE: &str = "pintle sheet 1";

/// The hash of a sheet, as 64 digits.
pub fn seal(subject: &Subject, list: Option<&str>) -> String {
    let mut hasher = Sha256::new();
    // Each part is led by its length, so that no part can pass for two.
    let mut take = |part: &[u8]| {
        hasher.update(u64::try_from(part.len()).unwrap_or(u64::MAX).to_be_bytes());
        hasher.update(part);
    };
    take(SHAPE.as_bytes());
    take(env!("CARGO_PKG_VERSION").as_bytes());
    take(subject.today.to_string().as_bytes());
    take(subject.source.text().as_bytes());
    for record in &subject.job.records {
        for fact in &record.facts {
            if let Fact::Stated(stated) = fact
                && let Datum::Recording(recording) = &stated.datum
            {
                take(recording.file.as_bytes());
                take(format!("{:?} {:?}", recording.unit.map(|unit| unit.symbol()), recording.samples).as_bytes());
            }
        }
    }
    for pack in &subject.program.packs {
        take(pack.name.as_bytes());
        take(pack.edition.as_bytes());
        take(pack.digest.as_bytes());
    }
    // Where a pack was found does not matter, only what it says, to the byte.
    for at in 0..subject.program.files.len() {
        if let Some(file) = u32::try_from(at).ok().and_then(|at| subject.program.files.get(FileId(at))) {
            take(file.text().as_bytes());
        }
    }
    if let Some(list) = list {
        take(b"punch list");
        take(list.as_bytes());
    }
    hasher.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The first digits of a seal, in fours: enough to compare two papers by eye.
pub fn short(seal: &str) -> String {
    fours(seal.get(..16).unwrap_or(seal))
}

/// Digits in fours.
pub fn fours(digits: &str) -> String {
    let signs: Vec<char> = digits.chars().collect();
    signs.chunks(4).map(|four| four.iter().collect::<String>()).collect::<Vec<_>>().join(" ")
}
