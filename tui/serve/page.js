"use strict";
// The page around the terminal: its font, a socket that comes back by itself, and a cover over what is not live.
(() => {
  const COLUMNS = 47, GLYPH = 0.6001, LEAST = 9, MOST = 22;
  const ASK_MS = 3000, STALE_MS = 8000, FIRST_MS = 500, LONGEST_MS = 10000;
  const FULL = 4001, UNREAD = 4002;
  const board = document.getElementById("board"), cover = document.getElementById("cover");
  const why = document.getElementById("why"), seen = document.getElementById("seen");
  const Plain = window.WebSocket;

  function coverWith(reason) {
    why.textContent = cover.dataset[reason];
    cover.classList.remove("off");
  }

  // What the terminal takes for one lasting socket: behind it one after the other, each with a fresh picture.
  class Lasting extends EventTarget {
    constructor(url) {
      super();
      this.url = new URL(url);
      this.wait = FIRST_MS;
      this.picture = false;
      setInterval(() => this.look(), ASK_MS / 3);
      document.addEventListener("visibilitychange", () => document.hidden ? this.rest() : this.begin());
      window.addEventListener("pageshow", () => this.begin());
      window.addEventListener("online", () => this.begin());
      this.begin();
    }

    begin() {
      clearTimeout(this.later);
      if (this.plain || document.hidden) return;
      const plain = this.plain = new Plain(this.url);
      plain.binaryType = "arraybuffer";
      this.picture = false;
      this.born = this.answered = performance.now();
      this.asked = 0;
      plain.onopen = () => { if (plain === this.plain) { this.dispatchEvent(new Event("open")); this.look(); } };
      plain.onmessage = (event) => { if (plain === this.plain) this.take(event.data); };
      plain.onclose = (event) => { if (plain === this.plain) this.lost(event.code); };
    }

    take(data) {
      if (typeof data === "string") {
        const [kind, mark] = JSON.parse(data);
        if (kind === "pong" && +mark > 0) this.answered = +mark;
        return;
      }
      if (!this.picture) {
        this.picture = true;
        this.wait = FIRST_MS;
        this.dispatchEvent(new MessageEvent("message", { data: new TextEncoder().encode("\x1bc").buffer }));
      }
      this.dispatchEvent(new MessageEvent("message", { data }));
      if (data.byteLength > 200) this.drawn = true;
      if (this.drawn && performance.now() - this.answered < STALE_MS) {
        seen.textContent = cover.dataset.seen.replace("{clock}", new Date().toLocaleTimeString([], { hourCycle: "h23" }));
        cover.classList.add("off");
      }
    }

    // Live is what answered a question asked a moment ago: an open socket alone says nothing.
    look() {
      const now = performance.now(), plain = this.plain;
      if (!plain) return;
      if (now - this.answered > STALE_MS) { this.lost(0); return; }
      if (plain.readyState === Plain.OPEN && now - this.asked >= ASK_MS) {
        this.asked = now;
        plain.send(JSON.stringify(["ping", String(Math.round(now))]));
      }
    }

    lost(code) {
      this.drop();
      coverWith(code === FULL ? "full" : code === UNREAD ? "unread" : "gone");
      if (code !== FULL && code !== UNREAD) this.askWhy();
      this.later = setTimeout(() => this.begin(), this.wait * (0.75 + Math.random() / 2));
      this.wait = Math.min(this.wait * 2, LONGEST_MS);
    }

    // A browser does not tell a page why a socket was refused: a word that opens nothing any more has a sentence.
    async askWhy() {
      const answer = await fetch("/static/page.css", { cache: "no-store" }).catch(() => null);
      if (answer && answer.status === 403 && !this.drawn) coverWith("old");
    }

    // Nobody looks: the seat is for somebody who does.
    rest() {
      this.drop();
      clearTimeout(this.later);
      this.wait = FIRST_MS;
      coverWith("gone");
    }

    drop() {
      const plain = this.plain;
      this.plain = null;
      this.drawn = false;
      if (plain) plain.close();
    }

    send(text) {
      const [kind, size] = JSON.parse(text);
      if (kind !== "resize") return;
      this.url.search = new URLSearchParams(size);
      if (this.plain && this.plain.readyState === Plain.OPEN) this.plain.send(text);
    }
  }

  async function begin() {
    document.body.style.background = document.documentElement.dataset.ground;
    const narrow = Math.min(window.innerWidth, window.innerHeight);
    board.dataset.fontSize = Math.max(LEAST, Math.min(MOST, Math.floor(narrow / COLUMNS / GLYPH * 10) / 10));
    window.WebSocket = Lasting;
    await Promise.race([
      document.fonts.load('16px "Roboto Mono"'),
      new Promise((done) => setTimeout(done, 3000)),
    ]).catch(() => {});
    const script = document.createElement("script");
    script.src = "/static/textual.js";
    script.onload = () => window.onload();
    document.head.append(script);
  }

  window.addEventListener("load", begin, { once: true });
})();
