//! What can hurt somebody in this casting.

use super::{Caution, Job};
use crate::error::Result;

pub(super) fn cautions(_job: &Job) -> Result<Vec<Caution>> {
    Ok(vec![])
}
