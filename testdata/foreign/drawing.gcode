<?xml version="1.0"?>
<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40"><path d="M5 5H35V35Z"/></svg>
