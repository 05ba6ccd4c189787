// Answers that are asked for when a screen wants them, and again when the site has changed.
import { useEffect, useState } from 'preact/hooks';
import { get } from '../net/ask';
import { fail, site } from './site';

/** The newest answer of an address; null until the first has come. An older one stays while the next is on its way. */
export function useAnswer<T>(path: string, query: Record<string, string | number | null> = {}): T | null {
  const [answer, setAnswer] = useState<T | null>(null);
  const revision = site.value?.revision;
  const asked = JSON.stringify(query);
  useEffect(() => {
    if (revision === undefined) return;
    let wanted = true;
    get<T>(path, JSON.parse(asked) as Record<string, string | number | null>)
      .then((next) => wanted && setAnswer(next))
      .catch((error) => wanted && fail(error));
    return () => {
      wanted = false;
    };
  }, [path, asked, revision]);
  return answer;
}
