//! Every key of the scheme occurs.

use std::collections::BTreeMap;

use dryspell::scheme::keys::KEYS;

use crate::case::Bench;
use crate::random::Random;
use crate::schema::Schema;
use crate::schemes::draft::Units;
use crate::schemes::inflows::{backup, inflows};
use crate::schemes::stores::stores;

/// Among so many schemes each key is met.
const SCHEMES: u64 = 400;

#[test]
fn every_key_occurs_in_random_schemes_and_most_of_them_run() {
    let bench = Bench::new();
    let schema = Schema::of(dryspell::scheme::keys::schema());
    let mut met: BTreeMap<String, usize> = BTreeMap::new();
    let mut refused: BTreeMap<String, usize> = BTreeMap::new();
    let mut sound = 0;
    for number in 0..SCHEMES {
        let mut draft = crate::schemes::draw(&bench.pool, 1, number);
        // Columns must fit their record, and made years have no rain that one may catch: these are read and not run.
        if number % 5 == 0 {
            let r = &mut Random::new(0x1f10, number);
            inflows(&mut draft, r, 2000.0, 8760);
            backup(&mut draft, r, 2000.0, 0.3);
        }
        if number % 10 == 5 && draft.names("tank").len() == 1 {
            stores(&mut draft, &mut Random::new(0x1f11, number), 2000.0, Some(8760));
        }
        match bench.read(&draft, Units::Si) {
            Ok(_) => {
                sound += 1;
                // What is read is valid by the schema that editors go by.
                for units in [Units::Si, Units::Us] {
                    assert_eq!(schema.faults(&draft.text(units)), None, "scheme {number}");
                }
                for (section, key) in draft.key_paths() {
                    // A pipe behind the tank, or the booster's own panels, are of the same keys.
                    *met.entry(format!("{section}.{key}")).or_default() += 1;
                }
            }
            Err(faults) => *refused.entry(crate::case::about(&faults)).or_default() += 1,
        }
    }
    for (fault, times) in &refused {
        println!("{times:4} × {fault}");
    }
    println!("{sound} of {SCHEMES} read");
    let missing: Vec<String> = KEYS
        .iter()
        .map(|k| format!("{}.{}", k.section, k.name))
        .filter(|path| !met.contains_key(path))
        .collect();
    assert!(missing.is_empty(), "never met: {}", missing.join(", "));
    assert!(sound * 10 >= SCHEMES * 8, "only {sound} of {SCHEMES} can be read");
}
