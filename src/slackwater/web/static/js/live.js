// What others write about the tank that is open here, told within a second.

const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 8000;

/** Listen for changes of a tank after one that was seen; a broken line is opened again. */
export function listen(number, change, onNews) {
  let seen = change;
  let wait = FIRST_WAIT_MS;
  const open = () => {
    const socket = new WebSocket(`${location.protocol === 'https:' ? 'wss:' : 'ws:'}//${location.host}/tanks/${number}/live`);
    socket.addEventListener('open', () => { wait = FIRST_WAIT_MS; socket.send(String(seen)); });
    socket.addEventListener('message', (event) => {
      const news = JSON.parse(event.data);
      seen = news.change;
      onNews(news);
    });
    socket.addEventListener('close', () => { setTimeout(open, wait); wait = Math.min(2 * wait, LONGEST_WAIT_MS); });
  };
  open();
}
