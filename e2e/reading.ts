/** How many years of school a text asks for, counted as tests/support/reading.rs does. */

/**
 * The Flesch-Kincaid grade of some lines, each at least one sentence (Kincaid, Fishburne, Rogers and Chissom
 * 1975, Research Branch Report 8-75). An approximation, since syllables are counted as groups of vowels.
 */
export function readingGrade(lines: string[]): number {
  const sentences = lines.flatMap((line) => line.split(/[.?!:]/)).filter((part) => part.trim());
  const words = lines.flatMap((line) => line.split(/[^\p{L}\p{N}]+/u)).filter(Boolean);
  const spoken = words.reduce((sum, word) => sum + syllables(word), 0);
  return (0.39 * words.length) / sentences.length + (11.8 * spoken) / words.length - 15.59;
}

/** Groups of vowels, less a silent e at the end; at least one. */
function syllables(word: string): number {
  const groups = word.toLowerCase().split(/[^aeiouy]+/).filter(Boolean).length;
  const silent = /e$/i.test(word) && !/(l|e)e$/i.test(word) && groups > 1;
  return Math.max(1, groups - (silent ? 1 : 0));
}
