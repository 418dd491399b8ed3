// SPDX-License-Identifier: Apache-2.0

// Package api is the REST interface: everything the pages do, for programs.
//
// Start with [New]; what there is and who may use it is one table, in
// operations.go. [Schema] is the same as OpenAPI 3.1. A small client is in
// package client.
//
// A device logs in once with a person and their PIN and gets a token, which it
// sends as "Authorization: Bearer ...". Cookies of the pages count for nothing
// here, nor a token there. Refusals are problem details (RFC 9457) with the
// same words and the same status as on the pages; the member next says what to
// do.
//
// Nothing is decided here: package shop keeps and refuses, package job
// decides.
package api
