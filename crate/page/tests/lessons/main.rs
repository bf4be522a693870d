//! Every lesson can be done: each goal is open when its step begins, and reached by what the page lets hands do.

mod student;

use student::Student;

#[test]
fn sound_in_steel() {
    let mut student = Student::opens("sound-in-steel");
    student.stands("A", 35.0, 30.0);
    assert!(student.gates(20.0, 0.0, 1));
    student.reached();
    student.shows("unfolded", None);
    student.reached();
    student.shows("folded", None);
    student.stands("A", -60.0, 30.0);
    for echo in student.echoes() {
        println!("{echo}");
    }
    assert!(student.gates(1.0, 110.0, 2));
    student.reached();
    student.is_done();
}
