#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Makes golden.json anew with R and its package survival (Debian's r-base-core
# and r-cran-survival). The digits that are printed are those on which versions
# agree.
set -eu
cd "$(dirname "$0")"
Rscript --vanilla make_golden.R >golden.json
