// SPDX-License-Identifier: Apache-2.0

package engine

func (d *decoder) check(s *Sheet) {}
