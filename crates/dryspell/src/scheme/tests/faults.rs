use super::*;
#[test]
fn look() {
    println!("{}", report(""));
}
