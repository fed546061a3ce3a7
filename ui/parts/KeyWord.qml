pragma ComponentBehavior: Bound

import QtQuick

// What one key of the strip means now: a word, a second line, whether it is the key to press, whether it is idle.
QtObject {
    id: meaning

    property string word: ""
    property string hint: ""
    property bool lit: false
    property bool idle: false
}
