// SPDX-License-Identifier: Apache-2.0
// The entry: every behaviour that a page may have. Pages work without.
import * as bars from "./bars.js";
import * as readback from "./readback.js";
import * as drafts from "./drafts.js";
import * as queue from "./queue.js";
import * as waiting from "./waiting.js";
import * as all from "./all.js";
import * as change from "./change.js";
import * as wedge from "./wedge.js";
import * as live from "./live.js";
import * as here from "./here.js";
import * as offline from "./offline.js";
import * as copy from "./copy.js";
import * as marking from "./marking.js";
import * as zoom from "./zoom.js";
import * as tabs from "./tabs.js";
import * as film from "./film.js";
import * as grid from "./grid.js";
import * as agree from "./agree.js";

for (const behaviour of [copy, drafts, bars, readback, wedge, queue, waiting, all, change, live, here, offline, marking, zoom, tabs, grid, film, agree]) {
  behaviour.start();
}
document.documentElement.dataset.ready = "yes";
