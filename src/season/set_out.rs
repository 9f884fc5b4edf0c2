//! How a planting is set out in its bed, beside the host it may have there.

use super::NotSetOut;
use crate::garden::{Bed, Planting, PlantingId};
use crate::layout::{Counted, LayoutError, SetOut, count, set_out_in_cells};

/// The numbers of a planting; the host of a `between` is looked for among the plantings of the same bed.
pub(super) fn counts(bed: &Bed, planting: &Planting, in_bed: &[&Planting]) -> Result<Counted, NotSetOut> {
    let host = host_of(bed, planting, in_bed)?;
    let host = host.map(|host| count(&host.layout, host.strip(bed.width_mm), host.setback_mm, host.clump, None));
    let host = host.transpose().map_err(not_laid_out)?;
    let strip = planting.strip(bed.width_mm);
    count(&planting.layout, strip, planting.setback_mm, planting.clump, host.as_ref()).map_err(not_laid_out)
}

/// The stations of a planting; the host of a `between` is looked for among the plantings of the same bed.
pub(super) fn set_out_in(bed: &Bed, planting: &Planting, in_bed: &[&Planting]) -> Result<SetOut, NotSetOut> {
    let host = host_of(bed, planting, in_bed)?;
    // Only the host's pattern is needed: it may have many stations.
    let host = host.map(|host| count(&host.layout, host.strip(bed.width_mm), host.setback_mm, host.clump, None));
    let cells = host.transpose().map_err(not_laid_out)?.and_then(|host| host.cells());
    let strip = planting.strip(bed.width_mm);
    set_out_in_cells(&planting.layout, strip, planting.setback_mm, planting.clump, cells).map_err(not_laid_out)
}

/// The host of a `between`, none for any other layout.
fn host_of<'a>(bed: &Bed, planting: &Planting, in_bed: &[&'a Planting]) -> Result<Option<&'a Planting>, NotSetOut> {
    let Some(host) = planting.host() else { return Ok(None) };
    match find(in_bed, host) {
        None => Err(NotSetOut::HostElsewhere { host, bed: bed.id.clone() }),
        Some(host) if host.host().is_some() => Err(NotSetOut::HostBetween { host: host.id }),
        Some(host) => Ok(Some(host)),
    }
}

/// The planting of that number among those of a bed, ascending by number.
pub(super) fn find<'a>(in_bed: &[&'a Planting], id: PlantingId) -> Option<&'a Planting> {
    let place = in_bed.binary_search_by_key(&id, |planting| planting.id).ok()?;
    in_bed.get(place).copied()
}

fn not_laid_out(error: LayoutError) -> NotSetOut {
    NotSetOut::Layout(Box::new(error))
}
