//! A million points made few enough to draw, without losing a peak.

/// At most `most` of some points, in order: from each of equal parts of the points the lowest and the highest.
pub fn thinned(x: &[f64], y: &[f64], most: usize) -> Vec<(f64, f64)> {
    let points = x.len().min(y.len());
    if points <= most {
        return x.iter().copied().zip(y.iter().copied()).collect();
    }
    let parts = (most / 2).max(1);
    let mut out = Vec::with_capacity(2 * parts);
    for part in 0..parts {
        let range = part * points / parts..(part + 1) * points / parts;
        let by_height = |a: &usize, b: &usize| y[*a].total_cmp(&y[*b]);
        let (Some(low), Some(high)) = (range.clone().min_by(by_height), range.max_by(by_height)) else {
            continue;
        };
        for index in [low.min(high), low.max(high)] {
            out.push((x[index], y[index]));
        }
        if low == high {
            out.pop();
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spike_of_one_point_survives() {
        let x: Vec<f64> = (0..100_000).map(f64::from).collect();
        let mut y = vec![1.0; 100_000];
        (y[31_234], y[77_777]) = (9.0, -9.0);
        let points = thinned(&x, &y, 600);
        assert!(points.len() <= 600 && points.is_sorted_by(|a, b| a.0 < b.0));
        assert!(points.contains(&(31_234.0, 9.0)) && points.contains(&(77_777.0, -9.0)));
    }

    #[test]
    fn few_points_stay_as_they_are() {
        assert_eq!(thinned(&[1.0, 2.0], &[3.0, 4.0], 2), [(1.0, 3.0), (2.0, 4.0)]);
        assert_eq!(thinned(&[], &[], 10), []);
    }
}
