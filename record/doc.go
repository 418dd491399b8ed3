// SPDX-License-Identifier: Apache-2.0

// Package record writes, seals, bundles and verifies the log of a job.
//
// A log is all entries about one subject. An [Entry] is one line of JSON: that
// line, byte for byte, is what is stored, hashed and exported. Start with
// [Proposal] (what a client sends) and [NewEntry] (what the log keeps), then
// [NewSeal] and [VerifyLog], then [WriteBundle] and [VerifyBundle].
//
// Nothing here reads a clock, a file or a database. Kinds are strings and
// bodies are raw JSON: what they mean is none of this package's business.
//
// # The line
//
//	{"v":1,"seq":41,"person":"p-7","received":"2031-05-02T09:14:03.120Z",
//	 "id":"01J…","subject":"job/24-031","device_time":"2031-05-02T11:14:01+02:00",
//	 "kind":"reading","version":1,"saw":40,"body":{…}}
//
// (one line, no blanks). The keys stand in this order and nothing else is
// accepted; saw is left out when it is 0. What stands from "id" to the end is
// the client part. The body is a JSON object without blanks outside its
// strings and without a name given twice; its numbers and strings keep the
// spelling they came with.
//
// # Seals
//
// A log is a Merkle tree after RFC 6962, section 2.1; a leaf is a line without
// its newline. A seal is a C2SP tlog-checkpoint (origin, size, root) in a C2SP
// signed note with the workshop's Ed25519 key, and is itself the next entry.
//
// # Sources
//
// RFC 6962 (2013), section 2.1; C2SP signed-note and tlog-checkpoint.
package record
