// Named scenarios that each need real time: they run side by side, and each says how it went.
import { setTimeout as sleep } from "node:timers/promises";

/** Calls `run` for every scenario whose name has the words given on the command line in it. */
export async function runAll(scenarios, run) {
  const [wanted = ""] = process.argv.slice(2);
  const chosen = Object.entries(scenarios).filter(([name]) => name.includes(wanted));
  let failed = 0;
  const one = async ([name, scenario]) => {
    try {
      await run(scenario);
      console.log(`  passed  ${name}`);
    } catch (error) {
      failed += 1;
      console.log(`  FAILED  ${name}\n${error.stack.replace(/^/gm, "          ")}`);
    }
  };
  await Promise.all(chosen.map(one));
  console.log(`${chosen.length - failed} passed, ${failed} failed`);
  process.exitCode = failed === 0 ? 0 : 1;
}

/** Asks again, for up to a minute, until there is an answer. */
export async function until(ask) {
  for (let left = 600; ; left -= 1) {
    try {
      const answer = await ask();
      if (answer) return answer;
      if (left === 0) throw new Error(`in vain: ${ask}`);
    } catch (error) {
      if (left === 0) throw error;
    }
    await sleep(100);
  }
}
