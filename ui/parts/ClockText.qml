pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A running clock or an age, always in tabular figures, never animated.
Words {
    id: clock

    Accessible.role: Accessible.StaticText
    Accessible.name: clock.text
}
