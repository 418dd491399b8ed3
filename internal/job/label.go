// SPDX-License-Identifier: Apache-2.0

package job

import (
	"net/url"
	"strings"
)

// Label is what a code on a bag or a bin leads to.
type Label struct {
	Job  string
	Kind string // bag: of an operation; bin: of a part; place: of anything else
	Item string // id of the operation or the part, or what is in it
}

// Kinds of label.
const (
	LabelBag   = "bag"
	LabelBin   = "bin"
	LabelPlace = "place"
)

const labelScheme = "witnessmark:"

// Text is what the code holds: witnessmark:job/0412/bag/sump.
func (l Label) Text() string {
	return labelScheme + "job/" + url.PathEscape(l.Job) + "/" + l.Kind + "/" + url.PathEscape(l.Item)
}

// ParseLabel reads the text of a code; ok is false for what is no label of
// ours, such as a supplier's.
func ParseLabel(text string) (l Label, ok bool) {
	rest, ours := strings.CutPrefix(strings.TrimSpace(text), labelScheme)
	parts := strings.Split(rest, "/")
	if !ours || len(parts) != 4 || parts[0] != "job" {
		return l, false
	}
	id, errJob := url.PathUnescape(parts[1])
	item, errItem := url.PathUnescape(parts[3])
	l = Label{Job: id, Kind: parts[2], Item: item}
	known := l.Kind == LabelBag || l.Kind == LabelBin || l.Kind == LabelPlace
	return l, known && errJob == nil && errItem == nil && l.Job != "" && l.Item != ""
}
