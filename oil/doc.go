// SPDX-License-Identifier: Apache-2.0

// Package oil computes the viscosity of a lubricating oil against temperature,
// pressure and shear.
//
// Start with [Oil]: made from the values of a product's own sheet, or from a
// grade's range by [Grade.Band], which is marked assumed because a grade fixes
// neither the 40 °C point nor the exact high-shear value. The product's sheet
// comes first.
//
// Units follow the trade: mm²/s, mPa·s, °C, kg/m³, rates in 1/s.
//
// # Model and limits
//
// ASTM D341 holds a petroleum oil's curve between about −20 and 150 °C and above
// 2 mm²/s. Temporary shear thinning is a three-constant curve through the
// high-shear point; permanent shear loss, fuel dilution and soot are not covered.
// The pressure rule of Barus is good to about 100 MPa.
//
// # Sources
//
// ASTM D341 (Walther), ASTM D2270 / ISO 2909, SAE J300, ISO 3448, Cross, J.
// Colloid Sci. 20 (1965) 417, Gecim, Tribology Trans. 33 (1990), Barus, Am. J.
// Sci. 45 (1893) 87. What was read and what is from memory stands at each
// function.
package oil
