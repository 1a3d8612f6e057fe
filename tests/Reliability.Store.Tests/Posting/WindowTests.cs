using Reliability.History.Events;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Posting;

public sealed class WindowTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task Posts_of_many_callers_share_commits()
    {
        var outcomes = await Task.WhenAll(Enumerable.Range(0, 200).Select(n =>
            RecordAsync(Scenario.Registered($"m-{n}"))));

        Assert.All(outcomes, outcome => Assert.False(Assert.IsType<RecordOutcome.Receipt>(outcome[0]).Duplicate));
        Assert.Equal(200, await ScalarAsync<long>("select count(*) from mt_events"));
        Assert.InRange(await ScalarAsync<long>("select count(*) from commit_window"), 1, 100);
    }

    [Fact]
    public async Task A_post_that_cannot_be_stored_does_not_harm_the_others_of_its_window()
    {
        // PostgreSQL cannot hold the character U+0000 in JSON. The service refuses it; here it stands for any defect.
        var defect = Scenario.Event("m-bad", "bad", 1, new FailedV1 { Mode = "a\0b" });
        var posts = Enumerable.Range(0, 40)
            .Select(n => n == 20 ? RecordAsync(defect) : RecordAsync(Scenario.Registered($"m-{n}"))).ToList();

        await Task.WhenAny(Task.WhenAll(posts), Task.Delay(TimeSpan.FromSeconds(30), Cancellation));

        Assert.All(posts, post => Assert.True(post.IsCompleted));
        Assert.Equal(20, posts.FindIndex(post => post.IsFaulted));
        Assert.Equal(39, posts.Count(post => post.IsCompletedSuccessfully));
        Assert.Equal(39, await ScalarAsync<long>("select count(*) from mt_events"));
        Assert.Equal(39, await ScalarAsync<long>("select count(*) from posted_event"));
    }

    [Fact]
    public async Task A_store_that_stops_commits_what_was_posted()
    {
        var second = await StartStoreAsync();
        var posts = Enumerable.Range(0, 50)
            .Select(n => second.Default.Events.RecordAsync([Scenario.Registered($"m-{n}")], Cancellation)).ToList();

        await second.DisposeAsync();

        var told = 0;
        foreach (var post in posts)
        {
            try
            {
                Assert.IsType<RecordOutcome.Receipt>((await post)[0]);
                told++;
            }
            catch (StoreUnavailableException)
            {
                // It came too late and was let in no more.
            }
        }
        Assert.Equal(told, (await RecordedIdsAsync()).Count);
        Assert.True(told > 0);
    }
}
