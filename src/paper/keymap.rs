//! Strips and plates at true size.
use super::page::Page;
use crate::job::Job;
use crate::work::Work;
pub fn pages(_job: &Job, _work: &Work) -> Vec<Page> {
    Vec::new()
}
