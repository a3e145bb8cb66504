// Which leg, LEFT or RIGHT standing large, in the order of the language.
import { say } from "../model/strings.js";
import { h } from "./dom.js";

const MARK = "\u0000";

export function limbHeading(limb) {
  const [before, after] = say("limb.name", { limb: MARK }).split(MARK).map((part) => part.trim());
  const small = (words) => (words ? h("span", {}, words) : null);
  return [small(before), h("strong", {}, say(`limb.${limb}`)), small(after)];
}
