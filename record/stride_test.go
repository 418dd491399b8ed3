// SPDX-License-Identifier: Apache-2.0

//go:build !race

package record_test

// stride is 1: every byte of a bundle is changed in turn.
const stride = 1
