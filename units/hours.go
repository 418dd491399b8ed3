// SPDX-License-Identifier: Apache-2.0

package units

// Hours is a length of work or running time in hours.
type Hours float64

// ParseHours reads a length of work or running time; see [Parse].
func ParseHours(text string, assumed Unit) (Hours, error) { return ParseAs[Hours](text, assumed) }

// Hours returns it in hours.
func (h Hours) Hours() float64 { return float64(h) }

// Minutes returns it in minutes.
func (h Hours) Minutes() float64 { return UnitMinute.FromCanonical(float64(h)) }

// Kind returns KindHours.
func (Hours) Kind() Kind { return KindHours }

// String prints the fewest digits that read back the same, with the unit.
func (h Hours) String() string { return str(h) }

// MarshalText is String; a value that is not finite is an error.
func (h Hours) MarshalText() ([]byte, error) { return marshal(h) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (h *Hours) UnmarshalText(text []byte) error { return unmarshal(h, text) }
