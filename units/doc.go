// SPDX-License-Identifier: Apache-2.0

// Package units reads what people write for a measured quantity, keeps the
// digits as they were read, converts exactly and prints in the reader's unit.
//
// Start with [Parse], which turns "0.050 mm" into a [Read]: the text, the
// digits, the unit, the value and the resolution of what was read. Where only
// the number matters, [ParseLength] and its like return a typed quantity. In
// engine sheets and case files every typed quantity is a text with its unit
// ("0.042 mm"); the unit is never left out there.
//
// # Canonical units
//
// A quantity is a float64 in one workshop unit per kind: length mm, angle °,
// torque N·m, force N, pressure Pa, temperature °C, speed of rotation rpm,
// dynamic viscosity Pa·s, kinematic viscosity mm²/s, mass kg, volume L, hours
// h, distance km. A torque is not an energy and a length is not a distance:
// they do not convert into each other. A temperature is a point on a scale,
// not a difference.
//
// # How a number is read
//
//   - The decimal mark is a point or a comma: 0.042 and 0,042. A digit stands
//     after it; none need stand before it (.042).
//   - A single point is always the decimal mark: 1.000 is one.
//   - A single comma with one to three digits before it, the first not 0, and
//     exactly three after it is refused: 1,000 may be 1.000 or 1000.
//   - A mark that stands more than once, or stands first where the other one
//     follows, groups thousands, and then all its groups must have three
//     digits: 1,000,000 and 1.000,5 and 1,000.5. These have one meaning only.
//   - A no-break, narrow no-break or thin space may group thousands (SI
//     Brochure, 9th edition, 5.4.4). An ordinary space between digits may part
//     two readings and is refused.
//   - The sign is +, - or − (U+2212), written against the digits. -0 is 0.
//   - An exponent is e or E and up to three digits: 4.2e-2.
//   - Digits are 0 to 9. NaN, infinities, hexadecimal, fractions (1/2) and
//     underscores are refused, and so is a number too large or too small for a
//     float64, one of over 40 digits, or a text of over 100 bytes.
//
// # How a unit is read
//
// Both code points of micro, the raised and the mathematical dot, full stop,
// asterisk, hyphen or space as the product sign, ² or ^2 or 2 are the same.
// Case matters where it must (mPa and MPa) and is let pass where it can mean
// nothing else (RPM, Bar, MM). A spelling with two meanings in the trade is
// refused with both named: lb for a torque, mil for a length, qt for a volume,
// m for a distance (mile or metre) and for hours (minute or month). Hours and
// minutes are not taken together (1h30): the refusal says how many minutes.
//
// # Conversion
//
// A parsed number is scaled as an exact rational and rounded once, so 42 µm
// and 0.042 mm are the same float64. Factors with π use it to 50 digits.
//
// # Sources
//
// BIPM, The International System of Units (SI Brochure), 9th edition (2019);
// NIST Special Publication 811 (2008 edition), appendix B, for the factors of
// the inch, pound-force, pound, US quart and mile.
package units
