"""Pages with known faults: whatever looks at screens must see every one of them."""

CANARY = """<!DOCTYPE html>
<html><head>
<meta http-equiv="Content-Security-Policy" content="script-src 'none'">
<style>
  body { margin: 0; font-size: 12px; background: #fff; color: #000; }
  .faint { color: #999; }
  .soft { color: #6b6b6b; }
  .button { border: 0; }
  .tiny { width: 20px; height: 20px; padding: 0; }
  .wide { width: 900px; }
  .card { height: 20px; overflow: hidden; }
  .stacked { position: absolute; top: 300px; left: 20px; margin: 0; }
  .moving { animation: run 1s infinite; }
  @keyframes run { to { margin-left: 4px; } }
  @media (prefers-color-scheme: dark) { .night { color: #eee; } }
</style></head>
<body><main>
<section class="action"><button class="primary">Go on</button></section>
<button class="button">Only its ground shows it</button>
<p class="faint">Too faint for anybody</p>
<p class="soft">Too soft for the patient's screens</p>
<p class="night">Gone in the dark</p>
<button class="tiny">a</button><button class="tiny">b</button>
<input type="text">
<p class="wide">Wider than any phone, so that one has to scroll sideways to read it to its end,
and that is one way of scrolling too many</p>
<div class="card"><p>One line</p><p>and one that is cut off</p></div>
<p class="stacked">Two texts on one spot</p><p class="stacked">can not be read</p>
<p class="moving">Moves for ever</p>
<img alt="" src="http://127.0.0.1:9/elsewhere.png">
<script>document.title = "refused by the policy";</script>
</main></body></html>
"""

KEYBOARD_CANARY = """<!DOCTYPE html>
<html><head><style>
  button:focus-visible { outline: 3px solid #000; }
  button.ringless { outline: none; }
  .below { position: fixed; top: 100px; left: 0; }
  .above { position: fixed; top: 60px; left: 0; width: 300px; height: 200px; background: #ccc; }
</style></head>
<body><main>
<button>reached</button>
<button class="ringless">ringless</button>
<button tabindex="-1">skipped</button>
<button class="below">covered</button><div class="above"></div>
</main></body></html>
"""
