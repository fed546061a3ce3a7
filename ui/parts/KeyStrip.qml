pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Seven keys that never move: Enter, Space, Up, Down, Tab, Backspace, Esc. A key without use is greyed.
Rectangle {
    id: strip

    property KeyWord enter: KeyWord {
        word: "Confirm"
        idle: true
    }
    property KeyWord space: KeyWord {
        word: "Got it"
        hint: "F6"
        idle: true
    }
    property KeyWord up: KeyWord {
        word: "Tell the crew"
        hint: "F5"
    }
    property KeyWord down: KeyWord {
        word: "Dead-ball acts"
        hint: "F2, F3"
    }
    property KeyWord tab: KeyWord {
        word: "Next region"
    }
    property KeyWord backspace: KeyWord {
        word: "Undo"
        hint: "F7"
    }
    property KeyWord esc: KeyWord {
        word: "Clear"
        idle: true
    }

    readonly property list<KeyWord> words: [strip.enter, strip.space, strip.up, strip.down, strip.tab, strip.backspace, strip.esc]
    readonly property list<string> ids: ["enter", "space", "up", "down", "tab", "backspace", "esc"]
    readonly property list<string> caps: ["Enter", "Space", "", "", "Tab", "Bksp", "Esc"]
    readonly property list<string> paths: ["", "", Marks.upward, Marks.downward, "", "", ""]
    readonly property list<int> places: [24, 214, 396, 592, 790, 980, 1156]

    signal pressed(string key)

    implicitHeight: Theme.table.keys
    color: Theme.panel

    Repeater {
        model: strip.ids

        KeyStop {
            required property int index
            required property string modelData

            objectName: "table.keys." + modelData
            x: strip.places[index]
            y: Math.round((strip.height - height) / 2)
            key: strip.caps[index]
            path: strip.paths[index]
            meaning: strip.words[index]
            onActed: strip.pressed(modelData)
        }
    }
}
