// SPDX-License-Identifier: Apache-2.0

//go:build race

package record_test

// stride is above 1 under the race detector, which makes a signature check
// twenty times slower and has nothing to find here; the same test without the
// detector changes every byte.
const stride = 17
