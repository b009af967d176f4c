//! A big piece over many pages.
use super::page::Page;
use super::template::Art;
use crate::job::Job;
use crate::work::Work;
pub fn pages(_items: &[(&Job, &Work)], _arts: &[Art]) -> Option<Vec<Page>> {
    None
}
