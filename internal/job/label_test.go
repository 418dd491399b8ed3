// SPDX-License-Identifier: Apache-2.0

package job

import "testing"

func FuzzParseLabel(f *testing.F) {
	f.Add("witnessmark:job/0412/bag/sump")
	f.Add("witnessmark:job/0412/bin/a%2Fb")
	f.Add("https://example.org/job/1/bag/x")
	f.Fuzz(func(t *testing.T, text string) {
		l, ok := ParseLabel(text)
		if !ok {
			return
		}
		again, ok := ParseLabel(l.Text())
		if !ok || again != l {
			t.Errorf("%q is read as %+v and then as %+v", text, l, again)
		}
	})
}

func TestLabelKeepsOddNames(t *testing.T) {
	for _, item := range []string{"sump", "torque wrench 5 to 50 Nm", "a/b", "100 %", "Ölwanne"} {
		l := Label{Job: "0412", Kind: LabelBag, Item: item}
		if got, ok := ParseLabel(l.Text()); !ok || got != l {
			t.Errorf("%s is read as %+v", l.Text(), got)
		}
	}
}
