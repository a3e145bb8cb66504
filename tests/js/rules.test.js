import { allHolds, holdsOn } from "../../static/patient/model/hold.js";
import { usesSince, wornOn } from "../../static/patient/model/pads.js";
import { boutIsDone, dueBouts, effectiveRevision } from "../../static/patient/model/plan.js";
import { routeOf } from "../../static/patient/model/routes.js";
import { releaseCode } from "../../static/patient/model/release.js";
import { checkGrade } from "../../static/patient/model/skin.js";
import { dayStatus } from "../../static/patient/model/status.js";
import { uuidv7 } from "../../static/patient/model/uuid.js";
import { eachCase } from "./cases.js";

eachCase("skin_grade.json", (check) => checkGrade(check));

eachCase("uuidv7.json", ({ unix_ts_ms, random_hex }) => uuidv7(unix_ts_ms, Buffer.from(random_hex, "hex")));

eachCase("hold.json", ({ entries, lifts, episode_id }) =>
  holdsOn(allHolds({ entries, lifts }), episode_id).filter(({ lifted }) => !lifted).map(({ entry_id }) => entry_id));

eachCase("day_status.json", ({ row, day, now_local, watermark_local }) =>
  dayStatus({ row, day, now: now_local, watermark: watermark_local }));

eachCase("plan.json", ({ program, day }) => ({
  revision_number: effectiveRevision(program, day)?.number ?? null,
  due_bouts: dueBouts(program, day),
}));

eachCase("bout_done.json", ({ contractions, prescribed }) => boutIsDone(contractions, prescribed));

eachCase("pads.json", ({ bouts, new_on, warn_at }) => {
  const uses = usesSince(bouts, new_on);
  return { uses: uses.length, worn_on: wornOn(uses, new_on, warn_at) };
});

eachCase("release.json", ({ key, entries }) => releaseCode(key, entries));

eachCase("stop_route.json", ({ symptoms }) => routeOf(symptoms));
