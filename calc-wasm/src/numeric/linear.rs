//! Systems of linear equations of any size: a lower and an upper triangle, with the rows in the order that keeps errors small.
//!
//! The stiff differential equations have a smaller one of their own, whose size the compiler knows.

/// A square matrix as two triangles, ready for any number of right sides.
#[derive(Debug, Clone)]
pub struct Lu {
    size: usize,
    /// Row by row: the lower triangle without its ones, and the upper one.
    parts: Vec<f64>,
    /// Which row of the matrix stands in each row.
    order: Vec<usize>,
}

/// No single solution: what the equations say about this unknown follows from what they say about those before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Singular {
    /// The unknown's place.
    pub column: usize,
}

impl Lu {
    /// Takes the matrix apart; its `size · size` numbers are given row by row.
    ///
    /// # Formula
    /// Gauss's elimination with partial pivoting: of the rows that are left, the one leads whose number is the largest
    /// part of the largest number that stood in its row. Without that scaling, an equation written in other units
    /// would lead only because its numbers are large.
    ///
    /// # Errors
    /// [`Singular`] when a column has nothing left but the rounding of what stood there, or a number that is none.
    ///
    /// # Panics
    /// When there are not `size · size` numbers.
    pub fn of(size: usize, matrix: &[f64]) -> Result<Lu, Singular> {
        assert_eq!(matrix.len(), size * size, "a square matrix");
        if let Some(place) = matrix.iter().position(|value| !value.is_finite()) {
            return Err(Singular { column: place % size });
        }
        let mut parts = matrix.to_vec();
        let mut order: Vec<usize> = (0..size).collect();
        let mut scales: Vec<f64> = (0..size).map(|row| greatest(&parts[row * size..][..size])).collect();
        let share = |value: f64, scale: f64| if scale > 0.0 { value.abs() / scale } else { 0.0 };
        let before: Vec<f64> = (0..size)
            .map(|column| {
                (0..size).map(|row| share(parts[row * size + column], scales[row])).fold(0.0, f64::max)
            })
            .collect();
        for pivot in 0..size {
            let (mut best, mut most) = (pivot, 0.0);
            for row in pivot..size {
                let part = share(parts[row * size + pivot], scales[row]);
                if part > most {
                    (best, most) = (row, part);
                }
            }
            let rounding = size as f64 * f64::EPSILON * before[pivot];
            if most <= rounding || !parts[best * size + pivot].is_finite() {
                return Err(Singular { column: pivot });
            }
            if best != pivot {
                order.swap(best, pivot);
                scales.swap(best, pivot);
                for column in 0..size {
                    parts.swap(best * size + column, pivot * size + column);
                }
            }
            let (above, below) = parts.split_at_mut((pivot + 1) * size);
            let upper = &above[pivot * size..];
            for row in below.chunks_exact_mut(size) {
                let factor = row[pivot] / upper[pivot];
                row[pivot] = factor;
                if factor != 0.0 {
                    for (value, up) in row[pivot + 1..].iter_mut().zip(&upper[pivot + 1..]) {
                        *value -= factor * up;
                    }
                }
            }
        }
        Ok(Lu { size, parts, order })
    }

    /// The unknowns for a right side.
    ///
    /// # Panics
    /// When the right side has not as many numbers as the matrix has rows.
    pub fn solve(&self, right: &[f64]) -> Vec<f64> {
        assert_eq!(right.len(), self.size, "a number for each row");
        let mut x: Vec<f64> = self.order.iter().map(|row| right[*row]).collect();
        for row in 0..self.size {
            let line = &self.parts[row * self.size..][..row];
            let known: f64 = line.iter().zip(&x).map(|(part, value)| part * value).sum();
            x[row] -= known;
        }
        for row in (0..self.size).rev() {
            let line = &self.parts[row * self.size..][..self.size];
            let known: f64 =
                line[row + 1..].iter().zip(&x[row + 1..]).map(|(part, value)| part * value).sum();
            x[row] = (x[row] - known) / line[row];
        }
        x
    }
}

fn greatest(row: &[f64]) -> f64 {
    row.iter().fold(0.0, |most, value| value.abs().max(most))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::noise::noise;

    #[test]
    fn a_system_worked_by_hand() {
        // x + y + z = 6, 2y + 5z = -4, 2x + 5y - z = 27: x = 5, y = 3, z = -2.
        let lu = Lu::of(3, &[1.0, 1.0, 1.0, 0.0, 2.0, 5.0, 2.0, 5.0, -1.0]).expect("one solution");
        for (got, known) in lu.solve(&[6.0, -4.0, 27.0]).iter().zip([5.0, 3.0, -2.0]) {
            assert!((got - known).abs() < 1e-14, "{got}");
        }
    }

    #[test]
    fn random_systems_give_their_right_side_back() {
        for size in [1, 2, 5, 20, 60] {
            let matrix = noise(size * size, size as u64);
            let known = noise(size, 99);
            let times = |x: &[f64]| -> Vec<f64> {
                matrix.chunks(size).map(|row| row.iter().zip(x).map(|(a, b)| a * b).sum()).collect()
            };
            let got = Lu::of(size, &matrix).expect("one solution").solve(&times(&known));
            for (got, known) in got.iter().zip(&known) {
                assert!((got - known).abs() < 1e-10, "{size}: {got} and {known}");
            }
        }
    }

    #[test]
    fn the_units_of_an_equation_do_not_matter() {
        // The second equation once more in millionths: without scaling it would lead and lose the first one's digits.
        let plain = Lu::of(2, &[1e-10, 1.0, 1.0, 1.0]).expect("one solution").solve(&[1.0, 2.0]);
        let scaled = Lu::of(2, &[1.0, 1e10, 1.0, 1.0]).expect("one solution").solve(&[1e10, 2.0]);
        for got in [plain, scaled] {
            assert!((got[0] - 1.0 / (1.0 - 1e-10)).abs() < 1e-15, "{got:?}");
            assert!((got[1] - (1.0 - 2e-10) / (1.0 - 1e-10)).abs() < 1e-15, "{got:?}");
        }
    }

    #[test]
    fn a_zero_in_the_corner_is_no_obstacle() {
        let got = Lu::of(2, &[0.0, 2.0, 3.0, 0.0]).expect("one solution").solve(&[4.0, 9.0]);
        assert_eq!(got, [3.0, 2.0]);
    }

    #[test]
    fn what_has_no_single_solution_is_reported() {
        let singular = |matrix: &[f64], size| Lu::of(size, matrix).expect_err("singular").column;
        assert_eq!(singular(&[0.0], 1), 0);
        assert_eq!(singular(&[0.1, 0.2, 0.3, 0.6], 2), 1);
        assert_eq!(singular(&[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0], 3), 2);
        assert_eq!(singular(&[1.0, 0.0, 0.0, 0.0], 2), 1);
        assert_eq!(singular(&[f64::NAN, 1.0, 1.0, 1.0], 2), 0);
        assert_eq!(singular(&[f64::INFINITY, 1.0, 1.0, 1.0], 2), 0);
    }

    #[test]
    fn nothing_has_nothing_to_solve() {
        assert!(Lu::of(0, &[]).expect("empty").solve(&[]).is_empty());
    }
}
