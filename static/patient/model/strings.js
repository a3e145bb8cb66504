// Every word a patient sees, in one place. Short words, sentences of at most
// fifteen words, reading grade 5 or lower (tests/js/strings.test.js).

const WORDS = {
  "app.name": "Boutwise",

  "area.label": "Areas", "area.step": "Next step", "area.next": "Next bout", "area.so_far": "So far", "area.call": "Call",
  "top.call": "Call clinic", "top.stop": "Something is wrong",

  "limb.left": "LEFT", "limb.right": "RIGHT", "limb.leg": "leg", "limb.name": "{limb} leg", "limb.which": "Which leg now?",

  "age.now": "Just now.", "age.minutes": "{count} minutes ago.", "age.hours": "{count} hours ago.", "age.days": "{count} days ago.",
  "day.today": "Today", "day.yesterday": "Yesterday", "day.bouts": "{done} of {due}",

  "form.please_check": "Please check:", "form.yes": "Yes", "form.no": "No", "form.ok": "OK",
  "form.less": "Less: {what}", "form.more": "More: {what}", "form.back_to_next": "Back to next bout",

  "save.saved": "Saved on this phone.",
  "save.not_yet": "Not saved yet. Keep this screen open. Then tap Save again.",
  "save.full": "Not saved yet. This phone is full. Make room. Then tap Save again.",
  "save.damaged": "This phone may not have kept that well. Please look at it under So far.",

  "sent.all": "All your entries are at the clinic.", "sent.heard": "Last heard from the clinic: {age}", "sent.never_heard": "Not heard from the clinic yet.",
  "sent.one_waits": "1 entry is on this phone and waits to be sent.", "sent.many_wait": "{count} entries are on this phone and wait to be sent.",
  "sent.by_itself": "That happens by itself.", "sent.tries_again": "That did not work yet. The app tries again by itself.", "sent.go_online": "Please go online soon.",
  "state.phone": "On this phone.", "state.clinic": "At the clinic.", "state.held": "Waits for the clinic to look.",

  "next.no_program": "No home program is on this phone yet. Ask your clinic.",
  "next.done_of": "{done} of {due} done today",
  "step.bout_go": "Start bout {ordinal}", "step.resume_go": "Go on with your bout", "step.after_go": "Check your skin now", "step.morning_go": "Do the morning check",
  "step.bout_line": "Bout {ordinal} is next. First look at your skin.",
  "step.resume_line": "You have begun a bout. Your answers are kept.",
  "step.after_line": "Your bout is logged. Now look at your skin.",
  "step.morning_line": "First, how is it this morning?",
  "step.excused_line": "There was a mark on your skin. No bout on that spot today. That is fine.",
  "step.paused_line": "Your clinic has paused your bouts.", "step.paused_until_line": "Your clinic has paused your bouts. The last day of rest is {until}.",
  "step.off_line": "No bout today. Rest well.", "step.done_line": "All bouts for today are logged. Well done.", "step.answered_line": "That is all for today. Thank you for telling us.",
  "step.later_line": "Give your leg a rest. Your next bout is from {from}.",
  "step.ended_line": "This home program has ended. Your log stays here.", "step.not_started_line": "Your home program has not started yet.", "step.starts_on_line": "Your home program starts on {first}.",
  "step.held_line": "No bouts on this leg for now. You can still log.",
  "step.held_short": "No bouts for now", "step.after_short": "Check your skin", "step.morning_short": "Morning check", "step.resume_short": "Go on",
  "step.excused_short": "Rest today", "step.paused_short": "Paused", "step.off_short": "No bout today", "step.done_short": "Done for today", "step.answered_short": "All told for today",
  "step.later_short": "Next bout later", "step.bout_short": "Bout due", "step.ended_short": "Ended", "step.not_started_short": "Not started",

  "hold.title": "No bouts for now", "hold.call": "Call the clinic",
  "hold.limb": "Do not start a bout on this leg. Call your clinic.", "hold.all": "Do not start any bout. Call your clinic.",
  "hold.only_clinic": "Only your clinic can end this stop. You can still log.",

  "notice.not_paired": "The clinic does not know this phone. Your entries are safe here. Pair it again.",
  "notice.revoked_stolen": "The clinic has locked this phone. Your entries stay here. Call your clinic.",
  "notice.revoked_replaced": "You have a newer phone with your clinic. Entries on this phone stay here.",
  "notice.too_old": "This app is too old. Go online and open it again. Your entries are safe.",
  "notice.pair_again": "Pair this phone again",
  "notice.coming": "Your home program will change from {day}.", "notice.changed": "Your home program changed today.",
  "notice.wiped": "The log on this phone was cleared. What was not sent is gone. Please log it again.",
  "notice.earlier": "Entries from before wait on this phone: {count}.", "notice.see_call": "See them under Call",

  "dose.title": "What to do", "dose.contractions": "{count} contractions", "dose.minutes": "in about {count} minutes.",
  "dose.times": "{on} seconds on, {off} seconds off.", "dose.ramp": "It rises in {up} s and falls in {down} s.",
  "dose.stimulator": "Stimulator: {name}.", "dose.channel": "Channel {channel}",
  "dose.start": "Start at {value} {unit}.", "dose.floor": "Work at {value} {unit} or more.", "dose.ceiling": "Never above {value} {unit}.", "dose.last": "Last time {value} {unit}.",
  "dose.angle": "knee bent to {angle}°", "dose.voluntary": "In the off time, tighten your thigh by yourself.",
  "dose.rises": "Start each bout from zero. Turn up slowly. After days off, start low.",
  "unit.mA": "mA", "unit.level": "(level)",

  "pads.caption": "{limb} leg.", "pads.view": "As you look down at it.", "pads.one": "Pad {number}: {place}.",
  "pads.picture": "The pads on your {limb} thigh. {pads}",
  "pads.knee": "knee", "pads.hip": "hip", "pads.outer": "outer side", "pads.inner": "inner side",
  "pad.upper_outer": "near the hip, outer side", "pad.upper_inner": "near the hip, inner side",
  "pad.lower_outer": "near the knee, outer side", "pad.lower_inner": "near the knee, inner side",

  "caution.title": "Take care", "caution.default": "Not while you drive, bathe or sleep.",
  "caution.not_driven": "This phone does not run your stimulator. You turn it on and off.",

  "others.title": "Or do this", "others.log_today": "Log a bout you did", "others.log_yesterday": "Log a bout of yesterday",
  "others.not_done": "A bout was not done", "others.note": "Write to the clinic", "others.other_leg": "The other leg",

  "before.title": "Before: {limb} leg", "before.go": "Save and go on",
  "after.title": "After: {limb} leg", "after.save": "Save the skin check",
  "morning.title": "Morning: {limb} leg", "morning.save": "Save the morning check",
  "morning.knee_pain": "How bad is your knee pain now?", "morning.swelling": "Is your knee swollen?",
  "morning.fault_knee_pain": "Pick a number for your knee pain.", "morning.fault_swelling": "Say if your knee is swollen.",
  "swelling.none": "Not swollen", "swelling.some": "Some swelling", "swelling.much": "Much swelling",

  "skin.all_legend": "Look at the skin under both pads.", "skin.all_hint": "Use good light. Feel it with your hand.",
  "skin.all_same": "It looks and feels the same as the skin around it", "skin.all_differs": "Something is different",
  "skin.pad": "Pad {number}, {place}",
  "skin.colour": "Is the colour like the skin around it?", "skin.colour_same": "Same colour", "skin.colour_slight": "A little different", "skin.colour_marked": "Clearly different",
  "skin.pattern": "Is the change even or in patches?", "skin.pattern_even": "Even", "skin.pattern_patchy": "In patches",
  "skin.raised": "Is it raised or puffy?", "skin.itchy": "Does it itch?", "skin.sore": "Is it sore?", "skin.broken": "Is there a blister, a burn or broken skin?",
  "skin.short_colour": "colour", "skin.short_pattern": "even or patches", "skin.short_raised": "raised", "skin.short_itchy": "itchy", "skin.short_sore": "sore", "skin.short_broken": "blister, burn or broken",
  "skin.fault_all": "Say how the skin looks.", "skin.fault_one": "Pad {number}: answer this one: {what}.",
  "skin.told_title": "Your skin", "skin.told_0": "Your skin is fine.", "skin.told_1": "This should fade in a few hours. Look again next morning.",
  "skin.told_2": "Your clinic will see this. Look again before your next bout.", "skin.told_3": "Take the pads off. Call your clinic today.", "skin.told_4": "Take the pads off. Cover it. Call your clinic today.",
  "skin.told_rest": "No bout on that spot today. Your day is excused.", "skin.told_hold": "No bouts on this leg until your clinic says so.",
  "skin.word_0": "Skin the same", "skin.word_1": "A slight change", "skin.word_2": "A clear change", "skin.word_3": "Raised skin", "skin.word_4": "Blister, burn or broken skin",

  "scale.low": "0: none", "scale.pain_high": "10: worst you can think of", "scale.discomfort_high": "10: worst you can think of",

  "do.title": "Bout: {limb} leg", "do.not_driven": "Your stimulator runs the bout. This phone only counts along.",
  "do.start_count": "Count with me from now", "do.without_count": "I did it without the count", "do.line_up": "Tap when the current comes on",
  "do.finished": "I have finished", "do.end_early": "I had to end early",
  "count.label": "Count of the bout", "count.rising": "Rising", "count.on": "On", "count.falling": "Falling", "count.rest": "Rest", "count.over": "All done",
  "count.seconds": "{count} s", "count.contraction": "Contraction {number} of {of}",

  "log.title": "Log: {limb} leg", "log.title_day": "Log: {limb} leg, {day}", "log.save": "Save the bout",
  "log.summary": "From {from}: {contractions} contractions in {minutes} minutes.", "log.change": "Change",
  "log.started_at": "When did you start?", "log.contractions": "Contractions", "log.minutes": "Minutes", "log.exercises": "What you did with the current on",
  "log.ended_early": "Why did you end early?", "log.intensity": "How strong was it?", "log.same_as_last": "Same as last time: {values} {unit}",
  "log.over_ceiling": "That is above your limit of {ceiling}. Please stay below it.",
  "log.discomfort": "How much discomfort came from the current?", "log.knee_pain_before": "How bad was your knee pain before?", "log.knee_pain_after": "How bad is your knee pain now?",
  "log.add_note": "Add a note", "log.note": "Note for your clinic",
  "log.fault_contractions": "Say how many contractions.", "log.fault_minutes": "Say how many minutes.", "log.fault_early": "Say why you ended early.",
  "log.fault_intensity": "Say how strong channel {channel} was.", "log.fault_discomfort": "Pick a number for discomfort.",
  "log.fault_knee_pain_before": "Pick a number for knee pain before.", "log.fault_knee_pain_after": "Pick a number for knee pain now.",
  "early.no": "I did not end early", "early.pain": "Knee pain", "early.discomfort": "Too much discomfort", "early.skin": "My skin", "early.stimulator": "The stimulator", "early.tired": "I was tired", "early.interrupted": "I was called away", "early.other": "Something else",

  "who.legend": "Who gives these answers?", "who.patient": "I do", "who.helper": "A helper does", "who.name": "Name of the helper",
  "who.you_log": "Logged by you.", "who.helper_logs": "Logged by {name}, a helper.",

  "not_done.title": "Not done: {limb} leg", "not_done.why": "Why was the bout not done?", "not_done.which_day": "Which day?", "not_done.save": "Save", "not_done.fault": "Pick a reason.",
  "reason.pain": "Knee pain", "reason.swelling": "Swelling", "reason.skin": "My skin", "reason.ill": "I was ill", "reason.stimulator": "The stimulator did not work", "reason.pads": "The pads did not stick",
  "reason.no_time": "No time", "reason.forgot": "I forgot", "reason.travel": "I was away", "reason.other": "Something else",

  "note.title": "Write to the clinic", "note.not_urgent": "Not for urgent things. For those, call.", "note.text": "Your note", "note.contact_legend": "Do you want a call?",
  "note.contact": "Please call me back", "note.fault": "Write your note first.", "note.save": "Save and send",

  "stop.title": "Something is wrong", "stop.lead": "Turn the stimulator off. Tap all that fit.", "stop.save": "Save and see what to do",
  "stop.worse": "Is it an emergency?", "stop.call_emergency": "Call {number}", "stop.which_leg": "Which leg?", "stop.no_leg": "Not one leg, or not sure",
  "stop.fault": "Tap what is wrong.", "stop.fault_leg": "Say which leg.", "stop.do_this": "Do this now",
  "stop.nobody_yet": "Nobody may have read this yet. Do not wait for an answer. Call.",
  "stop.group_emergency": "Call for help at once:", "stop.group_same_day": "See a doctor today:", "stop.group_surgeon": "Tell your surgeon:", "stop.group_clinic": "Tell your clinic:",
  "stop.title_emergency": "Call for help now", "stop.title_same_day": "See a doctor today", "stop.title_surgeon": "Call your surgeon", "stop.title_clinic": "Call your clinic",
  "stop.told_emergency": "Call the emergency number now.", "stop.told_same_day": "See a doctor today. No bouts until your clinic says so.",
  "stop.told_surgeon": "Call your surgeon today. No bouts until your clinic says so.", "stop.told_clinic": "Call your clinic. No bouts until your clinic says so.",
  "symptom.chest_pain": "Pain in the chest", "symptom.breathless": "Short of breath", "symptom.calf_pain": "Pain in the calf", "symptom.calf_swelling": "Swollen calf",
  "symptom.dark_urine": "Dark urine", "symptom.fever": "Fever", "symptom.wound_change": "Wound red, wet or open", "symptom.pop": "A pop in the knee", "symptom.leg_raise_lost": "I can no longer lift my leg",
  "symptom.skin_burn": "Burn or blister on the skin", "symptom.strong_pain": "Strong pain in the bout", "symptom.faint": "Faint or dizzy", "symptom.numb": "Numb leg or foot", "symptom.other": "Something else",

  "so_far.this_week": "This week", "so_far.week_of": "Week of {day}", "so_far.done_of": "{done} of {due} bouts done", "so_far.entries": "Your entries: {count}",
  "so_far.nothing": "Nothing here yet.", "so_far.words": "What the words mean",
  "status.done": "Done", "status.partly_done": "Partly done", "status.not_done": "You said: not done", "status.still_open": "Still open", "status.missed": "Nothing logged",
  "status.not_known_yet": "Not known yet", "status.paused": "Paused", "status.not_due": "No bout due",
  "status_means.done": "All bouts of the day are logged.", "status_means.partly_done": "Some of the day is logged.", "status_means.not_done": "You told us why.", "status_means.still_open": "You can log until noon next day.",
  "status_means.missed": "The day is over and has no log.", "status_means.not_known_yet": "It may be on another phone, or not sent yet.", "status_means.paused": "Your clinic or your skin said rest.", "status_means.not_due": "A day of rest.",

  "kind.bout": "Bout", "kind.skin_before": "Skin before", "kind.skin_after": "Skin after", "kind.skin_next_morning": "Skin next morning", "kind.not_done": "Not done", "kind.morning_check": "Morning check",
  "kind.stop_report": "Stop report", "kind.note_to_clinic": "Note to the clinic", "kind.correction": "A change", "kind.withdrawal": "Taken back", "kind.unreadable": "An entry",
  "line.unreadable": "This app can not show it. It is kept and sent as it is.",
  "line.bout": "{contractions} contractions in {minutes} minutes, discomfort {discomfort} of 10", "line.morning": "Knee pain {knee_pain} of 10. {swelling}",
  "line.started": "Started at {from}", "line.intensity": "Channel {channel}: {value} {unit}", "line.discomfort": "Discomfort {value} of 10",
  "line.knee_pain_before": "Knee pain before {value} of 10", "line.knee_pain_after": "Knee pain after {value} of 10", "line.ended_early": "Ended early: {reason}",

  "entry.first": "As first told", "entry.correction": "Changed: {reason}.", "entry.withdrawal": "Taken back: {reason}.", "entry.changed": "changed", "entry.taken_back": "taken back",
  "entry.withdrawn": "You took this back. The clinic still sees it.", "entry.held": "The clinic has this and must look at it.", "entry.change": "Change this entry", "entry.withdraw": "Take this entry back",
  "change.title": "Change: {what}", "change.kept": "What you first told is kept too.", "change.why": "Why the change?", "change.fault_why": "Pick a reason.", "change.save": "Save the change",
  "withdraw.title": "Take it back?", "withdraw.save": "Take it back", "withdraw.why": "Why take it back?",
  "why.number": "A wrong number", "why.day": "The wrong day", "why.twice": "Logged twice", "why.looked_again": "I looked again", "why.other": "Something else",

  "call.no_texts": "Pair this phone to see your clinic here.", "call.out_of_hours": "At other times:", "call.nobody_watches": "Nobody watches this app all the time. If in doubt, call.",
  "call.emergency": "Emergency: call {number}", "call.when": "Whom to call when", "call.this_phone": "On this phone", "call.kept": "This phone keeps your log safe.", "call.not_kept": "Go online often. Then your log is safe at the clinic too.",
  "call.paired": "Paired for {initials}", "call.clock": "The clock of this phone is off. Please set it.", "call.version": "App version {build}", "call.sync_now": "Send and fetch now",
  "call.export": "Save a copy of unsent entries", "call.exported": "A copy is in your downloads.", "call.earlier": "Unsent from before this pairing: {count}.", "call.earlier_mine": "They are mine. Send them.", "call.rescue": "If the app does not work",
  "call.see_waiting": "See what is not sent yet", "waiting.title": "Not sent yet",

  "pair.title": "Pair this phone", "pair.lead": "Your clinic shows you a code. Type it here.", "pair.by_link": "Your clinic sent you here. Pair this phone with it now?",
  "pair.code": "Code", "pair.code_hint": "Ten letters in two groups.", "pair.go": "Pair now", "pair.look_now": "Look now",
  "pair.waiting_title": "One more step", "pair.waiting": "Your clinic must now say yes to this phone.", "pair.waiting_hint": "Stay on this page. It goes on by itself.",
  "pair.install_first": "Is the app on your home screen? Open it there. If not, put it there first. Then type the code in it.",
  "pair.unsent": "Entries on this phone are not sent yet: {count}. Save a copy first.",
  "pair.problem_pairing_code_invalid": "This code does not fit. Check it and try again.", "pair.problem_pairing_code_expired": "This code is too old. Ask for a new one.", "pair.problem_pairing_code_used": "This code was used already. Ask for a new one.",
  "pair.problem_too_many_tries": "Too many tries. Wait some minutes. Then try again.", "pair.problem_offline": "No link to the clinic now. Try again when online.",
  "pair.problem_no_sense": "That did not work. Are you on guest Wi-Fi? Try again.", "pair.problem_unsent_entries": "Save a copy of your entries first.",

  "install.title": "Put it on your home screen", "install.why": "Then it opens without a network. And the phone keeps your log longer. A private window forgets it.", "install.now": "Put it there now",
  "install.android_1": "Open the menu with three dots.", "install.android_2": "Tap “Add to Home screen”.", "install.android_3": "Open Boutwise from there.",
  "install.apple_1": "Tap the share sign.", "install.apple_2": "Tap “Add to Home Screen”.", "install.apple_3": "Open Boutwise from there.",
  "install.other_1": "Open the menu of your browser.", "install.other_2": "Choose to install the app.", "install.other_3": "Open Boutwise from there.",
  "install.label_android": "Android phone", "install.label_apple": "iPhone or iPad", "install.label_other": "Browser",

  "strength.title": "Strength tests", "strength.line": "On {day} your {limb} leg had {count} of 100 of the other leg.",

  "trouble.title": "This app has a problem", "trouble.lead": "Your entries are still on this phone. Open the app again.", "trouble.rescue": "See and send my entries",
  "trouble.online": "The page below needs a network. A copy does not.", "trouble.no_copy": "This phone gives no copy now. Turn it off and on. Then try again.",

  "keeps.title": "No log can be kept here", "keeps.again": "Try again", "keeps.full": "This phone is full. Make room. Then try again.",
  "keeps.nothing": "This browser keeps nothing. Is it a private window? Open the app in a normal one.",
  "stop.not_paired": "This phone is not paired. So nothing can be sent. Please call.",

  "update.ready": "A new version of this app is ready.", "update.go": "Use it now",
};

export const KEYS = Object.freeze(Object.keys(WORDS));

// The words for a key with its values filled in; an unknown key is a bug.
export function say(key, values = {}) {
  const words = WORDS[key];
  if (words === undefined) throw new Error(`no words for ${key}`);
  return words.replace(/\{(\w+)\}/g, (_, name) => String(values[name]));
}

const DAY = new Intl.DateTimeFormat("en-GB", { weekday: "short", day: "numeric", month: "short", timeZone: "UTC" });

say.day = (day) => DAY.format(new Date(`${day}T12:00:00Z`)).replace(",", "");
