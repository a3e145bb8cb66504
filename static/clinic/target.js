// A link to an entry inside a closed part opens that part.
export function openTarget(root) {
  const open = () => {
    const target = root.getElementById(root.location.hash.slice(1));
    target?.closest("details")?.setAttribute("open", "");
  };
  root.defaultView.addEventListener("hashchange", open);
  open();
}
