// SPDX-License-Identifier: Apache-2.0

// Package web serves the pages. Every route stands in [routes], one table
// with who may use it. A handler parses, calls package shop, and renders a
// view with a templ component; nothing here decides or computes.
//
// Pages work without script: reading and basic entry are plain forms. Scripts
// are small modules in static/, one behaviour each; they add tapping the bars,
// the wedge gauge and the queue of entries that wait for the network.
package web
