// SPDX-License-Identifier: Apache-2.0

package job

// work gives work of the plan its title.
func (t titles) work(ids []string) []string {
	out := make([]string, len(ids))
	for i, id := range ids {
		if out[i] = id; t.plan != nil {
			out[i] = workTitle(t.plan, id)
		}
	}
	return out
}

func (b *ScopeAgreed) titled(t titles) string {
	return (&ScopeAgreed{Want: t.work(b.Want)}).words(t.name)
}

func (b *EstimateOffered) titled(t titles) string {
	c := *b
	c.Want, c.Offers = t.work(b.Want), t.work(b.Offers)
	return c.words(t.name)
}

func (b *AuthorityGiven) titled(t titles) string {
	c := *b
	c.Want, c.Refused = t.work(b.Want), t.work(b.Refused)
	return c.words(t.name)
}

func (b *OfferRefused) titled(t titles) string {
	c := *b
	c.Work = t.work([]string{b.Work})[0]
	return c.words(t.name)
}

func (b *ChangeFound) titled(t titles) string {
	c := *b
	c.Add, c.Remove = t.work(b.Add), t.work(b.Remove)
	return c.words(t.name)
}
