#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
#
# scripts/screenshots.sh [FOLDER]
#
# Takes pictures of every page of the demonstration, light and dark, on a tablet
# and a phone, and as they print, into FOLDER (out/screenshots unless given), and
# writes docs/screenshot.png, which README shows. It starts the demonstration in
# a temporary folder by itself; it needs Chromium.
set -eu
cd "$(dirname "$0")/.."
folder=$(realpath -m "${1:-out/screenshots}")
rm -rf "$folder"
WITNESSMARK_REQUIRE_ALL=1 WITNESSMARK_SCREENSHOTS=$folder go test -count=1 -timeout 20m -run 'LookedAt|ReadmePicture' ./internal/web
cp "$folder/readme.png" docs/screenshot.png
echo "$(find "$folder" -name '*.png' | wc -l) pictures in $folder"
