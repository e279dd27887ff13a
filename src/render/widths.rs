//! How columns share a width.

use std::iter::zip;

/// The widths, the widest cut to one level so that all fit the room.
pub fn levelled(widths: &[f64], room: f64) -> Vec<f64> {
    let mut sorted = widths.to_vec();
    sorted.sort_by(f64::total_cmp);
    let mut left = room;
    for (index, width) in sorted.iter().enumerate() {
        let level = left / (sorted.len() - index) as f64;
        if *width > level {
            return widths.iter().map(|width| width.min(level)).collect();
        }
        left -= width;
    }
    widths.to_vec()
}

/// The widths, enlarged to fill the room in proportion to their shares.
pub fn spread(widths: &[f64], shares: &[f64], room: f64) -> Vec<f64> {
    let rest = (room - widths.iter().sum::<f64>()).max(0.0);
    let total = shares.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    zip(widths, shares)
        .map(|(width, share)| width + rest * share / total)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_widest_give_way_first() {
        assert_eq!(levelled(&[10.0, 200.0, 90.0], 110.0), [10.0, 50.0, 50.0]);
        assert_eq!(levelled(&[10.0, 20.0], 110.0), [10.0, 20.0]);
    }

    #[test]
    fn what_is_left_goes_where_it_is_wanted() {
        assert_eq!(spread(&[10.0, 10.0], &[0.0, 5.0], 50.0), [10.0, 40.0]);
        assert_eq!(spread(&[10.0, 10.0], &[0.0, 0.0], 50.0), [10.0, 10.0]);
    }
}
