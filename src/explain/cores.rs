//! Work done on every core, its answers in the order of what was asked.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Answers every item; which core answers which does not show.
pub(super) fn each<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let cores = cores.min(items.len());
    if cores < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let share = || {
        let mut done: Vec<(usize, R)> = Vec::new();
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(place) else {
                return done;
            };
            done.push((place, work(item)));
        }
    };
    let mut done = std::thread::scope(|scope| {
        let others: Vec<_> = (1..cores).map(|_| scope.spawn(share)).collect();
        let mut done = share();
        for other in others {
            match other.join() {
                Ok(part) => done.extend(part),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    done.sort_by_key(|(place, _)| *place);
    done.into_iter().map(|(_, answer)| answer).collect()
}

#[cfg(test)]
mod tests {
    use super::each;

    #[test]
    fn answers_stand_in_the_order_of_the_questions() {
        let items: Vec<usize> = (0..100).collect();
        assert_eq!(
            each(&items, |item| item * 2),
            items.iter().map(|item| item * 2).collect::<Vec<_>>()
        );
        assert!(each(&[] as &[usize], |item| *item).is_empty());
    }
}
