/** Which modules travel together: a start without the network is mostly the fetching of files. */

interface Graph {
  getModuleInfo(id: string): { importers: readonly string[]; isEntry: boolean } | null;
}

const SCREENS = /\/src\/(screens|ui|domain)\//;

/** Whether it runs before the first screen: the entry imports it, directly or through others. */
function isInShell(id: string, graph: Graph, seen: Set<string>): boolean {
  if (seen.has(id)) return false;
  seen.add(id);
  const info = graph.getModuleInfo(id);
  if (!info) return false;
  return info.isEntry || info.importers.some((each) => isInShell(each, graph, seen));
}

export const groups = [
  {
    debugName: 'shell',
    name: (id: string, graph: Graph) => (isInShell(id, graph, new Set()) ? 'shell' : null),
    priority: 2,
  },
  // What several screens share, instead of two dozen files for each of them.
  { name: 'shared', test: SCREENS, minShareCount: 3, priority: 1 },
];
