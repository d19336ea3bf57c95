//! Quantities that the laws of physics here take and give: a number that cannot be mistaken for another unit's.

use std::ops::{Add, Div, Mul, Sub};

/// Declares quantities with their unit and the sums and scalings every one of them has.
macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        #[repr(transparent)]
        pub struct $name(
            /// The number of units.
            pub f64
        );

        impl Add for $name {
            type Output = $name;
            fn add(self, other: $name) -> $name { $name(self.0 + other.0) }
        }
        impl Sub for $name {
            type Output = $name;
            fn sub(self, other: $name) -> $name { $name(self.0 - other.0) }
        }
        impl Mul<f64> for $name {
            type Output = $name;
            fn mul(self, factor: f64) -> $name { $name(self.0 * factor) }
        }
        impl Div<$name> for $name {
            type Output = f64;
            fn div(self, other: $name) -> f64 { self.0 / other.0 }
        }
        impl From<$name> for f64 {
            fn from(value: $name) -> f64 { value.0 }
        }
    )*};
}

quantities! {
    /// Volts.
    Volt;
    /// Amperes.
    Ampere;
    /// Ohms.
    Ohm;
    /// Ohms in each metre of a conductor.
    OhmPerMetre;
    /// Resistivity, in ohm metres.
    OhmMetre;
    /// Watts.
    Watt;
    /// Metres.
    Metre;
    /// Square millimetres.
    SquareMillimetre;
    /// Degrees Celsius.
    Celsius;
    /// Kelvins, of a difference of two temperatures.
    Kelvin;
    /// Turns in a minute.
    Rpm;
    /// Seconds.
    Second;
    /// Henries.
    Henry;
    /// Newtons.
    Newton;
    /// Newton metres, of torque.
    NewtonMetre;
    /// Radians in a second.
    RadianPerSecond;
    /// Kilograms times square metres, of inertia.
    KilogramSquareMetre;
    /// Things in each second.
    Hertz;
    /// Joules.
    Joule;
    /// Joules for one kelvin, of heat capacity.
    JoulePerKelvin;
    /// Torque of each ampere, or voltage of each radian in a second: the same number.
    NewtonMetrePerAmpere;
}

/// Declares that one quantity times another is a third, and the two divisions that follow.
macro_rules! products {
    ($($a:ident * $b:ident = $c:ident;)*) => {$(
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c { $c(self.0 * other.0) }
        }
        impl Div<$a> for $c {
            type Output = $b;
            fn div(self, other: $a) -> $b { $b(self.0 / other.0) }
        }
        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, other: $b) -> $a { $a(self.0 / other.0) }
        }
    )*};
}

products! {
    Ohm * Ampere = Volt;
    Volt * Ampere = Watt;
    OhmPerMetre * Metre = Ohm;
    NewtonMetrePerAmpere * Ampere = NewtonMetre;
    NewtonMetrePerAmpere * RadianPerSecond = Volt;
    NewtonMetre * RadianPerSecond = Watt;
    Newton * Metre = NewtonMetre;
}

/// Resistance of one metre of a conductor of this resistivity and cross-section.
impl Div<SquareMillimetre> for OhmMetre {
    type Output = OhmPerMetre;
    fn div(self, area: SquareMillimetre) -> OhmPerMetre {
        OhmPerMetre(self.0 / (area.0 * 1e-6))
    }
}

/// Speed of turning in radians.
impl From<Rpm> for RadianPerSecond {
    fn from(speed: Rpm) -> Self {
        RadianPerSecond(speed.0 * std::f64::consts::TAU / 60.0)
    }
}

/// Speed of turning as workshops say it.
impl From<RadianPerSecond> for Rpm {
    fn from(speed: RadianPerSecond) -> Self {
        Rpm(speed.0 * 60.0 / std::f64::consts::TAU)
    }
}
