//! Check digits of registry numbers: a slip of one figure is caught.

/// Whether the last digit of a CAS number is the sum of the others, each times its place from the
/// right, modulo 10 (CAS, "Check digit verification of CAS registry numbers").
pub fn cas_checks(number: &str) -> bool {
    let Some(digits) = digits(number, &[(2, 7), (2, 2), (1, 1)]) else {
        return false;
    };
    match digits.split_last() {
        Some((check, rest)) => {
            let places = (1..).zip(rest.iter().rev());
            places.map(|(place, digit)| place * digit).sum::<u32>() % 10 == *check
        }
        None => false,
    }
}

/// Whether the last digit of an EC number is the sum of the others, each times its place from the
/// left, modulo 11 (Manual of Decisions for the EC inventory; a remainder of 10 is never given out).
pub fn ec_checks(number: &str) -> bool {
    let Some(digits) = digits(number, &[(3, 3), (3, 3), (1, 1)]) else {
        return false;
    };
    match digits.split_last() {
        Some((check, rest)) => {
            let places = (1..).zip(rest);
            places.map(|(place, digit)| place * digit).sum::<u32>() % 11 == *check
        }
        None => false,
    }
}

/// The digits of a number in parts of these lengths.
fn digits(number: &str, lengths: &[(usize, usize)]) -> Option<Vec<u32>> {
    let parts: Vec<&str> = number.split('-').collect();
    let fits = parts.len() == lengths.len()
        && parts
            .iter()
            .zip(lengths)
            .all(|(part, (least, most))| (*least..=*most).contains(&part.len()));
    fits.then(|| parts.concat().chars().map(|c| c.to_digit(10)).collect())?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_examples() {
        // CAS's own example of the calculation is 107-07-3; water is 7732-18-5.
        assert!(cas_checks("107-07-3") && cas_checks("7732-18-5"));
        // The EC inventory's own example is dexamethasone, 200-003-9; water is 231-791-2.
        assert!(ec_checks("200-003-9") && ec_checks("231-791-2"));
    }

    /// The EC number's check is modulo 11 and catches any one wrong digit. The CAS number's is
    /// modulo 10: a wrong digit of even or fivefold weight can pass, so only the others are asked.
    #[test]
    fn single_slips_are_caught() {
        let slips = |number: &'static str, places: &'static [usize]| {
            places.iter().flat_map(move |at| {
                let right = &number[*at..=*at];
                let wrong = ["0", "1", "2", "3", "4", "5", "6", "7", "8", "9"]
                    .into_iter()
                    .filter(move |d| *d != right);
                wrong.map(move |digit| format!("{}{digit}{}", &number[..*at], &number[at + 1..]))
            })
        };
        // 107-07-3: weights 5 4 3 · 2 1 · check.
        for slip in slips("107-07-3", &[2, 5, 7]) {
            assert!(!cas_checks(&slip), "{slip}");
        }
        for slip in slips("231-791-2", &[0, 1, 2, 4, 5, 6, 8]) {
            assert!(!ec_checks(&slip), "{slip}");
        }
        assert!(
            !cas_checks("")
                && !cas_checks("1-07-3")
                && !ec_checks("231-791")
                && !ec_checks("٢٣١-791-2")
        );
    }
}
