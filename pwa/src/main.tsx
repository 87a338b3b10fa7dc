import { render } from 'preact';
import { App } from './screens/App';
import './style.css';
import './style-frame.css';
import './style-parts.css';
import './style-screens.css';
import './style-overtime.css';
import './style-hours.css';
import './style-day.css';

render(<App />, document.getElementById('app')!);
