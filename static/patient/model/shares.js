// Which exercise goes with which contraction: in the program's order, each an
// equal share, the first ones one more where it does not divide.

// [{code, from, to}] over the contractions `first` to `last`.
function shared(codes, first, last) {
  const count = last - first + 1;
  const low = Math.floor(count / codes.length);
  const more = count % codes.length;
  let from = first;
  const shares = codes.map((code, at) => {
    const share = { code, from, to: from + low + (at < more ? 1 : 0) - 1 };
    from = share.to + 1;
    return share;
  });
  return shares.filter(({ from: start, to }) => to >= start);
}

// An exercise that is skipped leaves its contractions to those that follow, or
// to the earlier ones where none follows.
function without(codes, gone, code) {
  const left = codes.filter((one) => !gone.has(one));
  const later = left.filter((one) => codes.indexOf(one) > codes.indexOf(code));
  return later.length ? later : left;
}

export function sharesOf({ exercises, contractions_per_bout: total }, skips = []) {
  const codes = exercises.map(({ code }) => code);
  const gone = new Set();
  let shares = codes.length ? shared(codes, 1, total) : [];
  for (const { code, from } of skips) {
    gone.add(code);
    const kept = shares.filter((share) => share.from < from).map((share) => ({ ...share, to: Math.min(share.to, from - 1) }));
    const rest = without(codes, gone, code);
    shares = [...kept, ...(rest.length ? shared(rest, from, total) : [])];
  }
  return shares;
}

export function exerciseAt(revision, skips, contraction) {
  const share = sharesOf(revision, skips).find(({ from, to }) => from <= contraction && contraction <= to);
  return revision.exercises.find(({ code }) => code === share?.code) ?? null;
}

// The last exercise that is left cannot be skipped: to stop is to end early.
export function canSkip({ exercises }, skips) {
  return exercises.length - new Set(skips.map(({ code }) => code)).size > 1;
}

// Begun and not skipped, of the contractions that were finished.
export function exercisesDone(revision, skips, finished) {
  const gone = new Set(skips.map(({ code }) => code));
  const begun = new Set(sharesOf(revision, skips).filter(({ from }) => from <= finished).map(({ code }) => code));
  return revision.exercises.map(({ code }) => code).filter((code) => begun.has(code) && !gone.has(code));
}
