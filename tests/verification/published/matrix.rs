//! Complex numbers, as far as transmission matrices need them.

/// A complex number.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Complex {
    re: f64,
    im: f64,
}

impl Complex {
    pub(crate) fn new(re: f64, im: f64) -> Self {
        Self { re, im }
    }

    pub(crate) fn real(re: f64) -> Self {
        Self { re, im: 0.0 }
    }

    pub(crate) fn size(self) -> f64 {
        self.re.hypot(self.im)
    }

    pub(crate) fn plus(self, other: Self) -> Self {
        Self::new(self.re + other.re, self.im + other.im)
    }

    pub(crate) fn times(self, other: Self) -> Self {
        Self::new(
            self.re * other.re - self.im * other.im,
            self.re * other.im + self.im * other.re,
        )
    }

    pub(crate) fn over(self, other: Self) -> Self {
        let squared = other.re * other.re + other.im * other.im;
        let turned = Self::new(other.re / squared, -other.im / squared);
        self.times(turned)
    }

    /// The root in the right half plane.
    pub(crate) fn root(self) -> Self {
        let (size, angle) = (self.size().sqrt(), self.im.atan2(self.re) / 2.0);
        Self::new(size * angle.cos(), size * angle.sin())
    }

    pub(crate) fn cosh(self) -> Self {
        Self::new(
            self.re.cosh() * self.im.cos(),
            self.re.sinh() * self.im.sin(),
        )
    }

    pub(crate) fn sinh(self) -> Self {
        Self::new(
            self.re.sinh() * self.im.cos(),
            self.re.cosh() * self.im.sin(),
        )
    }

    /// Product of two matrices.
    pub(crate) fn product(a: [[Self; 2]; 2], b: [[Self; 2]; 2]) -> [[Self; 2]; 2] {
        [0, 1].map(|row| {
            [0, 1].map(|column| {
                a[row][0]
                    .times(b[0][column])
                    .plus(a[row][1].times(b[1][column]))
            })
        })
    }
}
