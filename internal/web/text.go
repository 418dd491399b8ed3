// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/url"

	"witnessmark/internal/shop"
)

// sentence starts with a capital and ends with a full stop.
func sentence(s string) string { return shop.Sentence(s) }

// plainError is an error without the places that only matter in the log.
func plainError(err error) string { return shop.PlainError(err) }

func queryEscape(s string) string { return url.QueryEscape(s) }
