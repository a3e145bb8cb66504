// Which screen the address names. An unpaired phone sees pairing first, but
// the clinic's number and the stop report are never out of reach.
import { beforeScreen } from "./before-screen.js";
import { calendarScreen } from "./calendar-screen.js";
import { callScreen } from "./call-screen.js";
import { changeScreen, withdrawScreen } from "./change-screens.js";
import { afterScreen, morningScreen } from "./check-screens.js";
import { changedScreen, changedToldScreen } from "./changed-screen.js";
import { doScreen, resumeScreen } from "./do-screen.js";
import { entryScreen } from "./entry-screen.js";
import { leaveScreen } from "./leave-screen.js";
import { lessonScreen } from "./lesson-screen.js";
import { logScreen } from "./log-screen.js";
import { nextScreen } from "./next-screen.js";
import { notDoneScreen } from "./not-done-screen.js";
import { noteScreen } from "./note-screen.js";
import { padsScreen, padsToldScreen } from "./pads-screen.js";
import { pairScreen } from "./pair-screen.js";
import { photoScreen, photosScreen } from "./photo-screen.js";
import { releaseScreen } from "./release-screen.js";
import { remindersScreen } from "./reminders-screen.js";
import { settingsScreen } from "./settings-screen.js";
import { soFarScreen } from "./so-far-screen.js";
import { stopScreen } from "./stop-screen.js";
import { checkToldScreen, stopToldScreen } from "./told-screens.js";
import { waitingScreen } from "./waiting-screen.js";

const SCREENS = {
  next: nextScreen, "so-far": soFarScreen, call: callScreen, pair: pairScreen, stop: stopScreen, "stop-told": stopToldScreen,
  before: beforeScreen, resume: resumeScreen, do: doScreen, log: logScreen, after: afterScreen, morning: morningScreen,
  "skin-told": checkToldScreen, "not-done": notDoneScreen, note: noteScreen, entry: entryScreen, change: changeScreen, withdraw: withdrawScreen,
  waiting: waitingScreen, changed: changedScreen, "changed-told": changedToldScreen, pads: padsScreen, "pads-told": padsToldScreen, lesson: lessonScreen,
  settings: settingsScreen, leave: leaveScreen, release: releaseScreen, reminders: remindersScreen, calendar: calendarScreen,
  photo: photoScreen, photos: photosScreen,
};
const ALWAYS = new Set(["call", "stop", "stop-told", "pair", "settings"]);

export async function screenFor(app, name, rest) {
  if (app.pairToken || (!(await app.isPaired()) && !ALWAYS.has(name))) return pairScreen(app);
  return (SCREENS[name] ?? nextScreen)(app, rest);
}
