pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The key strip with the words of the moment.
KeyStrip {
    id: strip

    required property Desk desk

    readonly property LineLook look: strip.desk.line

    enter: KeyWord {
        word: strip.look.keyWords[0]
        hint: strip.look.keyHints[0]
        lit: strip.look.keysLit[0]
        idle: strip.look.keysIdle[0]
    }
    space: KeyWord {
        word: strip.look.keyWords[1]
        hint: strip.look.keyHints[1]
        lit: strip.look.keysLit[1]
        idle: strip.look.keysIdle[1]
    }
    up: KeyWord {
        word: strip.look.keyWords[2]
        hint: strip.look.keyHints[2]
        lit: strip.look.keysLit[2]
        idle: strip.look.keysIdle[2]
    }
    down: KeyWord {
        word: strip.look.keyWords[3]
        hint: strip.look.keyHints[3]
        lit: strip.look.keysLit[3]
        idle: strip.look.keysIdle[3]
    }
    tab: KeyWord {
        word: strip.look.keyWords[4]
        hint: strip.look.keyHints[4]
        lit: strip.look.keysLit[4]
        idle: strip.look.keysIdle[4]
    }
    backspace: KeyWord {
        word: strip.look.keyWords[5]
        hint: strip.look.keyHints[5]
        lit: strip.look.keysLit[5]
        idle: strip.look.keysIdle[5]
    }
    esc: KeyWord {
        word: strip.look.keyWords[6]
        hint: strip.look.keyHints[6]
        lit: strip.look.keysLit[6]
        idle: strip.look.keysIdle[6]
    }
    onPressed: key => strip.desk.tap(key)
}
