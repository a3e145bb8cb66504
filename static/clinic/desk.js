import { startFind } from "./find.js";
import { startKeys } from "./keys.js";
import { sendOnce } from "./once.js";
import { openTarget } from "./target.js";
import { focusTrouble } from "./trouble.js";

// The desk works without scripts; these only make it quicker.
startFind(document);
startKeys(document);
sendOnce(document);
openTarget(document);
focusTrouble(document);
