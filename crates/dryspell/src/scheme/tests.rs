use super::*;

#[test]
fn starter_reads() {
    match Scheme::from_toml(STARTER) {
        Ok(s) => println!("{:#?}", s.defaults_used),
        Err(f) => panic!("{}", f.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")),
    }
}
