//! Every verdict has a job that triggers it and a twin that does not.

mod made;

use made::*;

#[test]
fn show() {
    let work = done(&disc());
    for v in &work.verdicts {
        println!("{:?}", v);
    }
}
