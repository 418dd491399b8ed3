// SPDX-License-Identifier: Apache-2.0

package store

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"time"

	"github.com/goccy/go-yaml"

	"witnessmark/record"
)

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

// DefaultConfig returns what stands for everything that isn't given.
func DefaultConfig() Config {
	return Config{Format: 1, TimeZone: "UTC", Units: "mm", Paper: "a4", Currency: "EUR"}
}

// withDefaults fills what is empty.
func (c Config) withDefaults() Config {
	d := DefaultConfig()
	for _, f := range []struct{ have, want *string }{
		{&c.TimeZone, &d.TimeZone}, {&c.Units, &d.Units}, {&c.Paper, &d.Paper}, {&c.Currency, &d.Currency},
	} {
		if *f.have == "" {
			*f.have = *f.want
		}
	}
	if c.Format == 0 {
		c.Format = d.Format
	}
	if c.Name == "" {
		c.Name = c.WorkshopID
	}
	return c
}

// Check says what can't stand in a configuration, or nil.
func (c Config) Check() error {
	if c.Format > 1 {
		return fmt.Errorf("config.yaml: %w: format %d", ErrNewer, c.Format)
	}
	if err := record.CheckWorkshopID(c.WorkshopID); err != nil {
		return fmt.Errorf("config.yaml: workshop: %w", err)
	}
	if _, err := c.Location(); err != nil {
		return fmt.Errorf("config.yaml: time_zone: %q is not a time zone such as Europe/Berlin", c.TimeZone)
	}
	if !(c.Confidence >= 0 && c.Confidence < 1) {
		return fmt.Errorf("config.yaml: confidence: %v is not from 0 to 1 (0 for the usual one)", c.Confidence)
	}
	if c.Units != "mm" && c.Units != "inch" {
		return fmt.Errorf("config.yaml: units: %q is neither mm nor inch", c.Units)
	}
	if c.Paper != "a4" && c.Paper != "letter" {
		return fmt.Errorf("config.yaml: paper: %q is neither a4 nor letter", c.Paper)
	}
	if len(c.Currency) != 3 || strings.ToUpper(c.Currency) != c.Currency {
		return fmt.Errorf("config.yaml: currency: %q is not an ISO 4217 code such as EUR", c.Currency)
	}
	return nil
}

// Location returns the workshop's time zone.
func (c Config) Location() (*time.Location, error) { return time.LoadLocation(c.TimeZone) }

const configHead = `# What this workshop is called and how it likes its pages. Stop the server
# before changing anything, and never change the line "workshop".
`

func readConfig(path string) (Config, error) {
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return Config{}, fmt.Errorf("store: %s: %w", path, ErrNotFound)
	}
	if err != nil {
		return Config{}, because("read config.yaml", err)
	}
	var c Config
	if err := yaml.NewDecoder(bytes.NewReader(data), yaml.Strict()).Decode(&c); err != nil {
		return Config{}, fmt.Errorf("config.yaml: %w", err)
	}
	c = c.withDefaults()
	return c, c.Check()
}

func (c Config) marshal() ([]byte, error) {
	body, err := yaml.Marshal(c)
	if err != nil {
		return nil, fmt.Errorf("config.yaml: %w", err)
	}
	return append([]byte(configHead), body...), nil
}
