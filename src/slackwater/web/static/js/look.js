import './toast.js';
