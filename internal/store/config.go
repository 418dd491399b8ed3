// SPDX-License-Identifier: Apache-2.0

package store

// Config is config.yaml: what a person may edit while no server runs.
type Config struct {
	Format     int     `yaml:"format"`     // 1
	WorkshopID string  `yaml:"workshop"`   // also the name of the key: never changed
	Name       string  `yaml:"name"`       // as printed
	TimeZone   string  `yaml:"time_zone"`  // IANA name
	Confidence float64 `yaml:"confidence"` // from 0 to 1; 0 = not set, the program's 0.80 marked assumed
	Units      string  `yaml:"units"`      // "mm" or "inch", how pages print lengths
	Paper      string  `yaml:"paper"`      // "a4" or "letter"
	Currency   string  `yaml:"currency"`   // ISO 4217
}
