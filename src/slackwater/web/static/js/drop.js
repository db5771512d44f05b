// A place to drop a file on, or to choose one. The file is read here; nothing is sent by this.
import { toast } from './toast.js';

const LARGEST_BYTES = 2_000_000;

/**
 * Let a place take one text file.
 * @param {HTMLElement} place holds an `input[type=file]`
 * @param {(text: string, name: string) => void} took
 */
export function drop(place, took) {
  const input = place.querySelector('input[type="file"]');
  const read = async (file) => {
    if (!file) return;
    if (file.size > LARGEST_BYTES) {
      toast(`${file.name} is larger than 2 MB; a tank file is a page or two of text.`);
      return;
    }
    took(await file.text(), file.name);
  };
  input.addEventListener('change', () => { read(input.files[0]); input.value = ''; });
  place.addEventListener('dragover', (event) => { event.preventDefault(); place.classList.add('over'); });
  place.addEventListener('dragleave', () => place.classList.remove('over'));
  place.addEventListener('drop', (event) => {
    event.preventDefault();
    place.classList.remove('over');
    read(event.dataTransfer.files[0]);
  });
}
