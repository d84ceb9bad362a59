import type { Random, VirtualClock } from '@fillwright/sim';
import type { Trace } from './trace.ts';

/**
 * A broker at its worst: it keeps sessions and retained messages, and it loses what it acknowledged, delivers twice, late and, where
 * `unruly`, in another order. What is promised to people must not hang on it.
 */
export interface Broker {
  /** A client's line: what it hears while it is up; a session waits for it while it is down. */
  line(name: string, hear: (topic: string, payload: string, retained: boolean) => void): Line;
  faults: { loss: number; twice: number; unruly: boolean; slowMs: number };
  /** The store is wiped: sessions, queues, retained messages. Everybody has to dial anew. */
  wipe(): void;
  readonly down: boolean;
  away(on: boolean): void;
}

export interface Line {
  readonly up: boolean;
  /** False where the broker is not there. */
  dial(filters: readonly ((topic: string) => boolean)[], will?: { topic: string; payload: string }): boolean;
  say(topic: string, payload: string, retain: boolean): void;
  /** The line breaks: the will is told. */
  cut(): void;
  /** Called when the line breaks by another's doing. */
  broken: () => void;
}

interface Session {
  hear: (topic: string, payload: string, retained: boolean) => void;
  up: boolean;
  broken: () => void;
  filters: readonly ((topic: string) => boolean)[];
  will: { topic: string; payload: string } | undefined;
  queue: { topic: string; payload: string }[];
  /** Deliveries of one line keep their order: none before this moment. */
  notBefore: number;
  dialled: number;
}

const MOST_QUEUED = 2_000;

export function simBroker(clock: VirtualClock, random: Random, trace: Trace): Broker {
  const sessions = new Map<string, Session>();
  const retained = new Map<string, string>();
  const faults = { loss: 0, twice: 0, unruly: false, slowMs: 20 };
  let down = false;

  function deliver(name: string, s: Session, topic: string, payload: string, kept: boolean): void {
    const times = random.chance(faults.twice) ? 2 : 1;
    for (let i = 0; i < times; i++) {
      if (random.chance(faults.loss)) {
        trace.note('lost', topic);
        continue;
      }
      const wait = 5 + Math.floor(random.next() * faults.slowMs);
      const at = faults.unruly ? clock.now() + wait : Math.max(clock.now() + wait, s.notBefore);
      s.notBefore = Math.max(s.notBefore, at);
      const { dialled } = s;
      clock.after(at - clock.now(), () => {
        if (s.up && s.dialled === dialled) {
          trace.message(name, topic, payload);
          s.hear(topic, payload, kept);
        } else if (sessions.get(name) === s && s.queue.length < MOST_QUEUED) s.queue.push({ topic, payload });
      });
    }
  }
  function publish(topic: string, payload: string, retain: boolean): void {
    if (retain) {
      if (payload === '') retained.delete(topic);
      else retained.set(topic, payload);
    }
    for (const [name, s] of sessions) if (s.filters.some((f) => f(topic))) send(name, s, topic, payload);
  }
  function send(name: string, s: Session, topic: string, payload: string): void {
    if (s.up) deliver(name, s, topic, payload, false);
    else if (s.queue.length < MOST_QUEUED) s.queue.push({ topic, payload });
  }
  function drop(s: Session, tellWill: boolean): void {
    if (!s.up) return;
    s.up = false;
    s.dialled++;
    if (tellWill && s.will && !down) publish(s.will.topic, s.will.payload, true);
    s.broken();
  }

  return {
    faults,
    get down() {
      return down;
    },
    line(name, hear) {
      const line: Line = {
        get up() {
          const s = sessions.get(name);
          return s?.up === true && s.hear === hear;
        },
        dial(filters, will) {
          if (down) return false;
          const before = sessions.get(name);
          // Two under one name: the one that was there is put out.
          if (before?.up) drop(before, true);
          const s: Session = before ?? {
            hear,
            up: false,
            broken: () => {},
            filters: [],
            will: undefined,
            queue: [],
            notBefore: 0,
            dialled: 0,
          };
          sessions.set(name, s);
          Object.assign(s, { hear, up: true, filters, will, broken: () => line.broken(), dialled: s.dialled + 1 });
          const waiting = s.queue;
          s.queue = [];
          for (const [topic, payload] of retained)
            if (filters.some((f) => f(topic))) deliver(name, s, topic, payload, true);
          for (const m of waiting) deliver(name, s, m.topic, m.payload, false);
          return true;
        },
        say(topic, payload, retain) {
          if (!line.up || down) return;
          // It said that it has it; that is worth nothing.
          if (random.chance(faults.loss)) trace.note('lost', topic);
          else publish(topic, payload, retain);
        },
        cut() {
          const s = sessions.get(name);
          if (s && s.hear === hear) drop(s, true);
        },
        broken: () => {},
      };
      return line;
    },
    wipe() {
      const all = [...sessions.values()];
      sessions.clear();
      retained.clear();
      for (const s of all) drop(s, false);
    },
    away(on) {
      down = on;
      if (on) for (const s of sessions.values()) drop(s, false);
    },
  };
}
