// SPDX-License-Identifier: Apache-2.0

package web

import "witnessmark/internal/shop"

func (s *server) showAssemble(q *request, status int, l *shop.Loaded, problem string) error {
	return errNotFound
}
