// SPDX-License-Identifier: Apache-2.0

package metrology

import "errors"

// What can be wrong with what is handed in. Every error of this package wraps
// one of these.
var (
	ErrLimits      = errors.New("limits")
	ErrMeasurement = errors.New("measurement")
	ErrConfidence  = errors.New("confidence")
	ErrScale       = errors.New("strip scale")
	ErrReading     = errors.New("strip reading")
	ErrCrankMoved  = errors.New("strip reading: the crank was moved, which voids it")
	ErrInput       = errors.New("input")
)
