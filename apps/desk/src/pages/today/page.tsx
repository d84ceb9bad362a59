export default function TodayPage() {
  return (
    <div className="page">
      <h1>Today</h1>
    </div>
  );
}
